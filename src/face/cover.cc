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
constexpr double kEyeReachMm = 90.0;
constexpr double kStepMm = 1.0;
constexpr double kZ90 = 1.6448536269514722;
constexpr char kBasis[] = "assumed spread, not yet set on phantoms";

Measured Thickness(double mm, double relative_sd) {
  const double sd = std::hypot(0.6, mm * (relative_sd + 0.06));
  return Measured::Of(mm, std::max(0.0, mm - kZ90 * sd), mm + kZ90 * sd, "mm", kBasis);
}

struct EdgePoint {
  cv::Point2d at;
  cv::Point2d inwards;
  double thickness = -1.0;  // mm to the first muscle; negative: none in reach, or bone between
  cv::Point2d eye_hit;
  bool meets_eye = false;
  bool Covered() const { return thickness >= kLeastMm && thickness <= kMostMm; }
};

bool On(const cv::Mat& mask, int x, int y) {
  return !mask.empty() && mask.at<std::uint8_t>(y, x) != 0;
}

void LookInwards(const CoverInput& in, double mm, EdgePoint& e) {
  bool blocked = false;
  for (double t = 0.5; t <= kEyeReachMm * mm; t += 0.5) {
    const int x = static_cast<int>(std::lround(e.at.x + t * e.inwards.x));
    const int y = static_cast<int>(std::lround(e.at.y + t * e.inwards.y));
    if (x < 0 || y < 0 || x >= in.mask.cols || y >= in.mask.rows) return;
    if (!On(in.mask, x, y) && t > mm) return;
    if (On(in.bone, x, y)) blocked = true;
    if (!On(in.muscles, x, y)) continue;
    if (e.thickness < 0.0 && !blocked) e.thickness = t / mm;
    blocked = true;  // only the first muscle ends the cover
    if (On(in.eye, x, y)) {
      e.meets_eye = true;
      e.eye_hit = {static_cast<double>(x), static_cast<double>(y)};
      return;
    }
  }
}

std::vector<EdgePoint> WalkEdge(const CoverInput& in, double mm) {
  std::vector<EdgePoint> edge;
  std::vector<std::vector<cv::Point>> rings;
  cv::findContours(in.mask, rings, cv::RETR_EXTERNAL, cv::CHAIN_APPROX_NONE);
  if (rings.empty()) return edge;
  const auto& ring = *std::max_element(
      rings.begin(), rings.end(), [](const auto& a, const auto& b) { return a.size() < b.size(); });
  // The inward normal is the gradient of the depth below the edge, smoothed over some millimetres.
  cv::Mat padded;
  cv::copyMakeBorder(in.mask, padded, 1, 1, 1, 1, cv::BORDER_CONSTANT, cv::Scalar(0));
  cv::Mat depth;
  cv::distanceTransform(padded, depth, cv::DIST_L2, 5);
  cv::GaussianBlur(depth, depth, cv::Size(), std::max(1.0, 1.5 * mm));
  const int n = static_cast<int>(ring.size());
  const int step = std::max(1, static_cast<int>(std::lround(kStepMm * mm)));
  for (int i = 0; i < n; i += step) {
    const cv::Point p = ring[static_cast<std::size_t>(i)];
    const int x = std::clamp(p.x + 1, 1, depth.cols - 2);
    const int y = std::clamp(p.y + 1, 1, depth.rows - 2);
    const double gx = depth.at<float>(y, x + 1) - depth.at<float>(y, x - 1);
    const double gy = depth.at<float>(y + 1, x) - depth.at<float>(y - 1, x);
    const double norm = std::hypot(gx, gy);
    if (norm < 1e-6) continue;
    EdgePoint e;
    e.at = p;
    e.inwards = {gx / norm, gy / norm};
    LookInwards(in, mm, e);
    edge.push_back(e);
  }
  return edge;
}

std::optional<cv::Point2d> Middle(const cv::Mat& mask) {
  if (mask.empty()) return std::nullopt;
  const cv::Moments m = cv::moments(mask, true);
  if (m.m00 < 1.0) return std::nullopt;
  return cv::Point2d(m.m10 / m.m00, m.m01 / m.m00);
}

// The eye's long axis through its middle, and how far it reaches either way.
struct EyeAxis {
  cv::Point2d middle;
  cv::Point2d along;
  double low = 0.0;
  double high = 0.0;
  double Along(cv::Point2d p) const { return (p - middle).dot(along); }
  cv::Point2d Across() const { return {-along.y, along.x}; }
};

EyeAxis AxisOf(const cv::Mat& eye) {
  EyeAxis axis;
  const cv::Moments m = cv::moments(eye, true);
  axis.middle = {m.m10 / m.m00, m.m01 / m.m00};
  const double angle = 0.5 * std::atan2(2.0 * m.mu11, m.mu20 - m.mu02);
  axis.along = {std::cos(angle), std::sin(angle)};
  std::vector<std::vector<cv::Point>> rings;
  cv::findContours(eye, rings, cv::RETR_EXTERNAL, cv::CHAIN_APPROX_SIMPLE);
  for (const auto& ring : rings) {
    for (const cv::Point& p : ring) {
      axis.low = std::min(axis.low, axis.Along(p));
      axis.high = std::max(axis.high, axis.Along(p));
    }
  }
  return axis;
}

// Thickness at a place along the eye, on the side that `outwards` points to; nothing where no edge
// lies over the eye there.
std::optional<double> ReadAt(const std::vector<EdgePoint>& edge, const EyeAxis& axis, double place,
                             cv::Point2d outwards) {
  const EdgePoint* best = nullptr;
  double best_off = 0.1 * (axis.high - axis.low);
  for (const EdgePoint& e : edge) {
    if (!e.meets_eye || -e.inwards.dot(outwards) < 0.1) continue;
    const double off = std::abs(axis.Along(e.eye_hit) - place);
    if (off < best_off) {
      best_off = off;
      best = &e;
    }
  }
  if (best == nullptr || best->thickness < 0.0 || best->thickness > kMostMm) return std::nullopt;
  return best->thickness < kLeastMm ? 0.0 : best->thickness;
}

Measured ThreeQuarters(const CoverInput& in, const std::vector<EdgePoint>& edge) {
  const Measured none = Measured::Unknown("mm", "no covered edge lies over the eye");
  if (!Middle(in.eye)) return none;
  const EyeAxis axis = AxisOf(in.eye);
  // Which long side carries the cover.
  cv::Point2d outwards = axis.Across();
  double side = 0.0;
  if (const auto cap = Middle(in.cap)) {
    side = (*cap - axis.middle).dot(outwards);
  } else {
    for (const EdgePoint& e : edge) {
      if (e.meets_eye && e.Covered()) side -= e.inwards.dot(outwards) * e.thickness;
    }
  }
  if (side < 0.0) outwards = -outwards;
  const double length = axis.high - axis.low;
  const auto quarter = [&](double share) {
    return ReadAt(edge, axis, axis.low + share * length, outwards);
  };
  const auto chine = Middle(in.chine);
  if (chine && std::abs(axis.Along(*chine)) > 0.2 * length) {
    const auto at = quarter(axis.Along(*chine) < 0.0 ? 0.75 : 0.25);
    return at ? Thickness(*at, in.length_relative_sd) : none;
  }
  const auto a = quarter(0.25);
  const auto b = quarter(0.75);
  if (!a || !b) return none;
  Measured at = Thickness((*a + *b) / 2.0, in.length_relative_sd);
  at.low = std::min(at.low, Thickness(std::min(*a, *b), in.length_relative_sd).low);
  at.high = std::max(at.high, Thickness(std::max(*a, *b), in.length_relative_sd).high);
  at.basis = "both quarters of the eye's edge; which end is the chine's is not known";
  return at;
}

}  // namespace

report::Cover MeasureCover(const CoverInput& in) {
  report::Cover cover;
  if (!in.px_per_mm) {
    cover.mean = Measured::Unknown("mm", "no scale in the photo (no card, no --px-per-mm)");
    cover.at_three_quarters = cover.mean;
    return cover;
  }
  const std::vector<EdgePoint> edge = WalkEdge(in, *in.px_per_mm);
  if (edge.empty()) {
    cover.mean = Measured::Unknown("mm", "no outline");
    cover.at_three_quarters = cover.mean;
    return cover;
  }
  std::vector<double> readings;
  for (const EdgePoint& e : edge) {
    if (e.Covered()) readings.push_back(e.thickness);
  }
  cover.at_three_quarters = ThreeQuarters(in, edge);
  if (readings.size() < 5) {
    cover.mean = Measured::Of(0.0, 0.0, 1.5, "mm", kBasis);
    return cover;
  }
  double sum = 0.0;
  for (const double r : readings) sum += r;
  cover.mean = Thickness(sum / static_cast<double>(readings.size()), in.length_relative_sd);
  for (std::size_t i = 0; i < readings.size();
       i += std::max<std::size_t>(1, readings.size() / 24)) {
    cover.profile.push_back({static_cast<double>(i) / static_cast<double>(readings.size() - 1),
                             Thickness(readings[i], in.length_relative_sd)});
  }
  return cover;
}

}  // namespace ribwright::face
