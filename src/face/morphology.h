// SPDX-License-Identifier: Apache-2.0
// Small shapes and fillings on masks that several parts of the face stage use.
#pragma once

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>
#include <vector>

namespace ribwright::face {

// A disc of at least one pixel's radius, for opening, closing and dilation.
inline cv::Mat Ellipse(double radius) {
  const int r = std::max(1, static_cast<int>(std::lround(radius)));
  return cv::getStructuringElement(cv::MORPH_ELLIPSE, cv::Size(2 * r + 1, 2 * r + 1));
}

// mask CV_8U: what its outer rings enclose becomes 255.
inline void FillHoles(cv::Mat& mask) {
  std::vector<std::vector<cv::Point>> rings;
  cv::findContours(mask, rings, cv::RETR_EXTERNAL, cv::CHAIN_APPROX_NONE);
  cv::drawContours(mask, rings, -1, cv::Scalar(255), cv::FILLED);
}

}  // namespace ribwright::face
