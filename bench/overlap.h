// SPDX-License-Identifier: Apache-2.0
// How well two outlines agree, and how thick a region is.
#pragma once

#include <opencv2/core/mat.hpp>
#include <opencv2/core/matx.hpp>

#include "report/photo_report.h"

namespace ribwright::bench {

// Area of both over area of either, counted on pixel centres of a grid of at most about 1 megapixel
// laid over both (even-odd rule). Two empty outlines: 0.
double Iou(const report::Outline& first, const report::Outline& second);

// Diameter, in mm, of the largest circle inside the outline; px_from_mm is its plane's homography.
// Good to about 0.3 mm. An empty outline: 0.
double ThickestMm(const report::Outline& outline, const cv::Matx33d& px_from_mm);

// CV_8U on a photo's grid, 255 inside.
cv::Mat MaskOf(const report::Outline& outline, cv::Size photo);

}  // namespace ribwright::bench
