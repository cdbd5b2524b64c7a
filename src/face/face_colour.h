// SPDX-License-Identifier: Apache-2.0
// Colour of lean and of fat, free of glare, as CIE L*a*b* (D50). Without calibration the numbers
// are what the camera's own colours say and the interval is wide; light that falls off between card
// and face is taken out with the card's light readings where there are any.
#pragma once

#include <opencv2/core.hpp>
#include <optional>

#include "photo/colour_reference.h"
#include "report/photo_report.h"

namespace ribwright::face {

// Median colour of the pixels of `where` (CV_8U) on `rgb` (CV_8UC3). `light`: the face's light
// against the card's. Unknown with a reason where fewer than 50 pixels are seen.
report::Lab ReadFaceColour(const cv::Mat& rgb, const cv::Mat& where,
                           const photo::ColourReference& colour, double light,
                           std::optional<double> bloom_min, bool is_lean);

}  // namespace ribwright::face
