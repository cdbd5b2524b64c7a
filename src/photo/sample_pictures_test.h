// SPDX-License-Identifier: Apache-2.0
// Pictures made for the tests of the photo door.
#pragma once

#include <cmath>
#include <cstdint>
#include <opencv2/core.hpp>
#include <vector>

namespace ribwright::photo::testing {

// Smooth colour waves with a red, a green, a blue and a yellow corner (top left, top right, bottom
// left, bottom right), so that every orientation can be told apart.
inline cv::Mat Waves(int width, int height) {
  cv::Mat rgb(height, width, CV_8UC3);
  for (int y = 0; y < height; ++y) {
    for (int x = 0; x < width; ++x) {
      rgb.at<cv::Vec3b>(y, x) = {static_cast<std::uint8_t>(128 + 90 * std::sin(x * 0.05)),
                                 static_cast<std::uint8_t>(128 + 90 * std::cos(y * 0.04)),
                                 static_cast<std::uint8_t>(128 + 90 * std::sin((x + y) * 0.03))};
    }
  }
  const int w = width / 4;
  const int h = height / 4;
  rgb(cv::Rect(0, 0, w, h)) = cv::Scalar(230, 20, 20);
  rgb(cv::Rect(width - w, 0, w, h)) = cv::Scalar(20, 230, 20);
  rgb(cv::Rect(0, height - h, w, h)) = cv::Scalar(20, 20, 230);
  rgb(cv::Rect(width - w, height - h, w, h)) = cv::Scalar(230, 230, 20);
  return rgb;
}

inline double LargestDifference(const cv::Mat& a, const cv::Mat& b) {
  return cv::norm(a, b, cv::NORM_INF);
}

inline double MeanDifference(const cv::Mat& a, const cv::Mat& b) {
  return cv::norm(a, b, cv::NORM_L1) / static_cast<double>(a.total() * 3);
}

}  // namespace ribwright::photo::testing
