// SPDX-License-Identifier: Apache-2.0
// Colour of lean and of fat, free of glare, as CIE L*a*b* (D50). Without calibration the numbers
// are what the camera's own colours say and the interval is wide; light that falls off between card
// and face is taken out with the card's light readings where there are any.
#pragma once

#include <opencv2/core.hpp>
#include <optional>

#include "face/canvas.h"
#include "photo/colour_reference.h"
#include "report/photo_report.h"

namespace ribwright::face {

// Colour of the pixels of `where` (CV_8U) on the canvas: the mean of linear light, each pixel
// divided by the light at its place, the brightest 15 % (sheen) and darkest 5 % (folds) left out by
// luminance (assumed). Unknown with a reason where fewer than 50 pixels are seen.
report::Lab ReadFaceColour(const Canvas& canvas, const cv::Mat& where,
                           const photo::ColourReference& colour, std::optional<double> bloom_min,
                           bool is_lean);

}  // namespace ribwright::face
