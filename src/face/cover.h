// SPDX-License-Identifier: Apache-2.0
// Outside fat: from each millimetre of the face's edge, square to it, the distance to the first
// muscle, where it is 0.5 to 30 mm and no bone lies between.
#pragma once

#include <opencv2/core.hpp>
#include <optional>

#include "report/photo_report.h"

namespace ribwright::face {

struct CoverInput {
  cv::Mat mask;     // CV_8U, the face on its canvas
  cv::Mat muscles;  // CV_8U
  cv::Mat eye;      // CV_8U; without a pixel: no eye was found
  cv::Mat cap;      // CV_8U or empty: the muscle that lies under the cover
  cv::Mat bone;     // CV_8U or empty
  cv::Mat chine;    // CV_8U or empty: what lies at the chine end (multifidus, complexus)
  std::optional<double> px_per_mm;
  double length_relative_sd = 0.0;
};

// Lengths are unknown without a scale. At three quarters: over the eye at 3/4 of its length from
// the chine end, on the side that the cap lies on, else the more covered one; where the chine end
// is not known both quarters are read and the interval spans them.
report::Cover MeasureCover(const CoverInput& in);

}  // namespace ribwright::face
