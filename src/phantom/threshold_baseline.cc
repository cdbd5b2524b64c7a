// SPDX-License-Identifier: Apache-2.0
#include "phantom/threshold_baseline.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "base/check.h"

namespace ribwright::phantom {

double GlobalThresholdMarbling(const cv::Mat& rgb, const cv::Mat& eye) {
  RIBWRIGHT_CHECK(rgb.type() == CV_8UC3 && eye.type() == CV_8U && rgb.size() == eye.size());
  std::array<double, 256> histogram{};
  double n = 0.0;
  double total = 0.0;
  for (int y = 0; y < rgb.rows; ++y) {
    for (int x = 0; x < rgb.cols; ++x) {
      if (eye.at<std::uint8_t>(y, x) == 0) continue;
      const std::uint8_t g = rgb.at<cv::Vec3b>(y, x)[1];
      histogram[g] += 1.0;
      total += g;
      n += 1.0;
    }
  }
  if (n == 0.0) return 0.0;
  double below = 0.0;
  double below_sum = 0.0;
  double best = -1.0;
  double fat = 0.0;
  for (std::size_t t = 0; t < 255; ++t) {
    below += histogram[t];
    below_sum += static_cast<double>(t) * histogram[t];
    if (below == 0.0 || below == n) continue;
    const double gap = below_sum / below - (total - below_sum) / (n - below);
    const double between = below * (n - below) * gap * gap;
    if (between > best) {
      best = between;
      fat = n - below;
    }
  }
  return 100.0 * fat / n;
}

double LocalThresholdMarbling(const cv::Mat& rgb, const cv::Mat& eye, double px_per_mm,
                              double offset, double window_mm) {
  RIBWRIGHT_CHECK(rgb.type() == CV_8UC3 && eye.type() == CV_8U && rgb.size() == eye.size());
  const int window = std::max(3, static_cast<int>(std::lround(window_mm * px_per_mm)) | 1);
  cv::Mat green, mask, sum, weight;
  cv::extractChannel(rgb, green, 1);
  green.convertTo(green, CV_32F);
  cv::Mat(eye > 0).convertTo(mask, CV_32F, 1.0 / 255.0);
  cv::boxFilter(green.mul(mask), sum, CV_32F, {window, window}, {-1, -1}, true,
                cv::BORDER_CONSTANT);
  cv::boxFilter(mask, weight, CV_32F, {window, window}, {-1, -1}, true, cv::BORDER_CONSTANT);
  std::int64_t fat = 0;
  std::int64_t all = 0;
  for (int y = 0; y < green.rows; ++y) {
    for (int x = 0; x < green.cols; ++x) {
      if (eye.at<std::uint8_t>(y, x) == 0) continue;
      ++all;
      const float mean = sum.at<float>(y, x) / std::max(weight.at<float>(y, x), 1e-6F);
      if (green.at<float>(y, x) > mean + static_cast<float>(offset)) ++fat;
    }
  }
  return all > 0 ? 100.0 * static_cast<double>(fat) / static_cast<double>(all) : 0.0;
}

}  // namespace ribwright::phantom
