// SPDX-License-Identifier: Apache-2.0
#include "face/cover.h"

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>
#include <vector>

namespace ribwright::face {
namespace {

constexpr double kLeastMm = 0.5;
constexpr double kMostMm = 30.0;
constexpr double kStepMm = 1.0;
constexpr double kZ90 = 1.6448536269514722;
constexpr char kBasis[] = "assumed spread, not yet set on phantoms";

Measured Thickness(double mm, double relative_sd) {
  const double sd = std::hypot(0.6, mm * (relative_sd + 0.06));
  return Measured::Of(mm, std::max(0.0, mm - kZ90 * sd), mm + kZ90 * sd, "mm", kBasis);
}

}  // namespace

report::Cover MeasureCover(const cv::Mat& mask, const cv::Mat& muscles, const cv::Mat& eye,
                           std::optional<double> px_per_mm, double length_relative_sd) {
  report::Cover cover;
  if (!px_per_mm) {
    cover.mean = Measured::Unknown("mm", "no scale in the photo (no card, no --px-per-mm)");
    cover.at_three_quarters = cover.mean;
    return cover;
  }
  const double mm = *px_per_mm;
  std::vector<std::vector<cv::Point>> rings;
  cv::findContours(mask, rings, cv::RETR_EXTERNAL, cv::CHAIN_APPROX_NONE);
  if (rings.empty()) {
    cover.mean = Measured::Unknown("mm", "no outline");
    cover.at_three_quarters = cover.mean;
    return cover;
  }
  const auto& ring = *std::max_element(
      rings.begin(), rings.end(), [](const auto& a, const auto& b) { return a.size() < b.size(); });
  // The inward normal is the gradient of the depth below the edge, smoothed over some millimetres.
  cv::Mat padded;
  cv::copyMakeBorder(mask, padded, 1, 1, 1, 1, cv::BORDER_CONSTANT, cv::Scalar(0));
  cv::Mat depth;
  cv::distanceTransform(padded, depth, cv::DIST_L2, 5);
  cv::GaussianBlur(depth, depth, cv::Size(), std::max(1.0, 1.5 * mm));
  const int n = static_cast<int>(ring.size());
  const int step = std::max(1, static_cast<int>(std::lround(kStepMm * mm)));
  struct Reading {
    double mm;
    bool over_eye;
  };
  std::vector<Reading> readings;
  for (int i = 0; i < n; i += step) {
    const cv::Point p = ring[static_cast<std::size_t>(i)];
    const int x = std::clamp(p.x + 1, 1, depth.cols - 2);
    const int y = std::clamp(p.y + 1, 1, depth.rows - 2);
    double gx = depth.at<float>(y, x + 1) - depth.at<float>(y, x - 1);
    double gy = depth.at<float>(y + 1, x) - depth.at<float>(y - 1, x);
    const double norm = std::hypot(gx, gy);
    if (norm < 1e-6) continue;
    gx /= norm;
    gy /= norm;
    double thick = -1.0;
    bool over_eye = false;
    for (double t = 0.0; t <= kMostMm * mm; t += 0.5) {
      const int qx = static_cast<int>(std::lround(p.x + t * gx));
      const int qy = static_cast<int>(std::lround(p.y + t * gy));
      if (qx < 0 || qy < 0 || qx >= mask.cols || qy >= mask.rows) break;
      if (!mask.at<std::uint8_t>(qy, qx) && t > mm) break;
      if (muscles.at<std::uint8_t>(qy, qx)) {
        thick = t / mm;
        over_eye = eye.at<std::uint8_t>(qy, qx) != 0;
        break;
      }
    }
    if (thick >= kLeastMm && thick < kMostMm) readings.push_back({thick, over_eye});
  }
  if (readings.size() < 5) {
    cover.mean = Measured::Of(0.0, 0.0, 1.5, "mm", kBasis);
    cover.at_three_quarters = Measured::Unknown("mm", "no covered edge lies over the eye");
    return cover;
  }
  double sum = 0.0;
  for (const Reading& r : readings) sum += r.mm;
  cover.mean = Thickness(sum / static_cast<double>(readings.size()), length_relative_sd);
  for (std::size_t i = 0; i < readings.size();
       i += std::max<std::size_t>(1, readings.size() / 24)) {
    cover.profile.push_back({static_cast<double>(i) / static_cast<double>(readings.size() - 1),
                             Thickness(readings[i].mm, length_relative_sd)});
  }
  std::vector<double> over;
  for (const Reading& r : readings) {
    if (r.over_eye) over.push_back(r.mm);
  }
  if (over.size() < 4) {
    cover.at_three_quarters = Measured::Unknown("mm", "no covered edge lies over the eye");
    return cover;
  }
  // Which end is the chine's is not known from the picture: both quarters are read, the interval
  // spans them.
  const double a = over[over.size() / 4];
  const double b = over[(3 * over.size()) / 4];
  Measured at = Thickness((a + b) / 2.0, length_relative_sd);
  at.low = std::min(at.low, Thickness(std::min(a, b), length_relative_sd).low);
  at.high = std::max(at.high, Thickness(std::max(a, b), length_relative_sd).high);
  at.basis = "both quarters of the eye's edge; which end is the chine's is not known";
  cover.at_three_quarters = at;
  return cover;
}

}  // namespace ribwright::face
