// SPDX-License-Identifier: Apache-2.0
#include "programme/cover_ruler.h"

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>

namespace ribwright::programme {
namespace {

constexpr double kStepMm = 5.0;
constexpr double kLeastMm = 0.5;  // as face/cover.cc
constexpr double kMostMm = 30.0;
constexpr double kSmoothMm = 1.5;
constexpr int kLinesWithoutScale = 120;
constexpr double kMostShare = 0.1;  // of the face's shorter side, without a scale
constexpr double kLeastPx = 1.5;    // a shorter line cannot be seen

bool On(const cv::Mat& mask, cv::Point p) {
  return !mask.empty() && mask.at<std::uint8_t>(p.y, p.x) != 0;
}

std::vector<cv::Point> LongestEdge(const cv::Mat& inside) {
  std::vector<std::vector<cv::Point>> rings;
  cv::findContours(inside, rings, cv::RETR_EXTERNAL, cv::CHAIN_APPROX_NONE);
  if (rings.empty()) return {};
  return *std::max_element(rings.begin(), rings.end(),
                           [](const auto& a, const auto& b) { return a.size() < b.size(); });
}

std::optional<cv::Point2d> FirstMuscle(const RulerInput& in, cv::Point2d from, cv::Point2d inwards,
                                       double most) {
  for (double t = 0.0; t <= most; t += 0.5) {
    const cv::Point2d at = from + t * inwards;
    const cv::Point p(static_cast<int>(std::lround(at.x)), static_cast<int>(std::lround(at.y)));
    if (p.x < 0 || p.y < 0 || p.x >= in.inside.cols || p.y >= in.inside.rows) return std::nullopt;
    if (On(in.muscles, p)) return at;
    if (On(in.bone, p) || (t > 2.0 && !On(in.inside, p))) return std::nullopt;
  }
  return std::nullopt;
}

}  // namespace

std::vector<RulerLine> CoverRuler(const RulerInput& in) {
  std::vector<RulerLine> lines;
  const std::vector<cv::Point> edge = LongestEdge(in.inside);
  if (edge.empty()) return lines;
  const cv::Rect box = cv::boundingRect(edge);
  const double shorter = std::min(box.width, box.height);
  const double step =
      std::max(2.0, in.px_per_mm ? kStepMm * *in.px_per_mm
                                 : static_cast<double>(edge.size()) / kLinesWithoutScale);
  const double least = std::max(kLeastPx, in.px_per_mm ? kLeastMm * *in.px_per_mm : 0.0);
  const double most = in.px_per_mm ? kMostMm * *in.px_per_mm : kMostShare * shorter;
  // Inwards is where the depth below the edge rises, smoothed as the judge does it.
  cv::Mat depth;
  cv::copyMakeBorder(in.inside, depth, 1, 1, 1, 1, cv::BORDER_CONSTANT, cv::Scalar(0));
  cv::distanceTransform(depth, depth, cv::DIST_L2, cv::DIST_MASK_5);
  const double smooth = in.px_per_mm ? kSmoothMm * *in.px_per_mm : 0.005 * shorter;
  cv::GaussianBlur(depth, depth, cv::Size(), std::max(1.0, smooth));
  for (double along = 0.0; along < static_cast<double>(edge.size()); along += step) {
    const cv::Point p = edge[static_cast<std::size_t>(along)];
    const int x = std::clamp(p.x + 1, 1, depth.cols - 2);
    const int y = std::clamp(p.y + 1, 1, depth.rows - 2);
    cv::Point2d inwards(depth.at<float>(y, x + 1) - depth.at<float>(y, x - 1),
                        depth.at<float>(y + 1, x) - depth.at<float>(y - 1, x));
    const double norm = std::hypot(inwards.x, inwards.y);
    if (norm < 1e-6) continue;
    inwards *= 1.0 / norm;
    const auto muscle = FirstMuscle(in, p, inwards, most);
    if (!muscle) continue;
    const cv::Point2d line = *muscle - cv::Point2d(p);
    if (std::hypot(line.x, line.y) >= least) lines.push_back({p, *muscle});
  }
  return lines;
}

}  // namespace ribwright::programme
