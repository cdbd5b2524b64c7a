// SPDX-License-Identifier: Apache-2.0
// ColourReference: what is known of light and colour in a photo, so that face colours mean
// something.
//
// xyz_from_linear takes linear-light sRGB of the photo (0..1) to CIE XYZ relative to a perfect
// white, illuminant D50, 2 degree observer. Without any reference it is the plain sRGB matrix
// adapted to D50 (Bradford), and status.source is "none". With a printed card only the greys are
// used ("print, neutral only"): gains a channel. With entered patch values it is fitted to them and
// status.calibrated is true. light: readings of the card's paper across the photo, relative to the
// reading that xyz_from_linear maps to the paper's white; a face lit at 0.8 of the card reads dark
// by that much. Empty without a card. tone: exponent of the camera's tone curve against sRGB's,
// found only with patch values; 1 otherwise. XyzAt joins them: XYZ = xyz_from_linear * (linear /
// relative)^tone, each channel on its own.
#pragma once

#include <cmath>
#include <opencv2/core/matx.hpp>
#include <vector>

#include "report/photo_report.h"

namespace ribwright::photo {

struct LightReading {
  double x_px = 0.0;
  double y_px = 0.0;
  double relative = 1.0;  // linear light, 1 where xyz_from_linear was fitted
};

struct ColourReference {
  cv::Matx33d xyz_from_linear = cv::Matx33d::eye();
  double tone = 1.0;
  report::ColourStatus status;
  std::vector<LightReading> light;
  double de00_sd = 0.0;  // standard deviation of a colour read through it, CIEDE2000; 0 = not known

  // linear: 0..1, of sRGB decoding; relative: the light there (RelativeLight of colour_read.h),
  // over 0.
  cv::Vec3d XyzAt(cv::Vec3d linear, double relative) const {
    for (int c = 0; c < 3; ++c) {
      const double lit = linear[c] / relative;
      linear[c] = tone == 1.0 ? lit : std::copysign(std::pow(std::abs(lit), tone), lit);
    }
    return xyz_from_linear * linear;
  }
};

}  // namespace ribwright::photo
