// SPDX-License-Identifier: Apache-2.0
// Plane: where millimetres lie in a photo. A plane in the scene (the card's, or the face's, which
// lies higher) maps to photo pixels by a homography.
//
// mm_from_px takes photo pixel coordinates (x right, y down, first pixel's centre at (0.5, 0.5)) to
// millimetres in the plane (any origin and direction). Without perspective it is a similarity.
// Doubt: `relative_sd` is the standard deviation of any length measured through the plane, as a
// share of that length, from the fit of the markers, the printed size and the height and distance
// of the camera.
#pragma once

#include <cmath>
#include <opencv2/core/matx.hpp>
#include <string>

#include "report/photo_report.h"

namespace ribwright::photo {

struct Plane {
  cv::Matx33d mm_from_px = cv::Matx33d::eye();
  double relative_sd = 0.0;
  report::ScaleSource source = report::ScaleSource::kNone;
  std::string basis;  // how relative_sd was made

  cv::Point2d MmFromPx(double x, double y) const {
    const cv::Vec3d v = mm_from_px * cv::Vec3d(x, y, 1.0);
    return {v[0] / v[2], v[1] / v[2]};
  }
  // Square millimetres of plane that one square pixel sees at (x, y): the Jacobian's determinant.
  double Mm2PerPx2(double x, double y) const {
    const auto& h = mm_from_px;
    const double w = h(2, 0) * x + h(2, 1) * y + h(2, 2);
    return std::abs(cv::determinant(h)) / std::abs(w * w * w);
  }
  // Pixels a millimetre at (x, y), geometric mean over directions.
  double PxPerMm(double x, double y) const { return 1.0 / std::sqrt(Mm2PerPx2(x, y)); }
};

}  // namespace ribwright::photo
