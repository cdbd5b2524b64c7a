// SPDX-License-Identifier: Apache-2.0
#include "face/fleck_measures.h"

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>
#include <vector>

namespace ribwright::face {
namespace {

constexpr double kZ90 = 1.6448536269514722;  // normal quantile of 0.95
constexpr char kNoScale[] = "no scale in the photo (no card, no --px-per-mm)";
constexpr char kBasis[] = "assumed spread, not yet set on phantoms";
constexpr double kLeastFleckMm2 = 0.1;

Measured Positive(double value, double sd, const char* unit) {
  return Measured::Of(value, std::max(0.0, value - kZ90 * sd), value + kZ90 * sd, unit, kBasis);
}

double Percentile(std::vector<double> sorted, double q) {
  if (sorted.empty()) return 0.0;
  std::sort(sorted.begin(), sorted.end());
  const double at = q * static_cast<double>(sorted.size() - 1);
  const auto i = static_cast<std::size_t>(at);
  const double t = at - static_cast<double>(i);
  return i + 1 < sorted.size() ? sorted[i] * (1 - t) + sorted[i + 1] * t : sorted[i];
}

// The muscle's box with an edge of two pixels, begun on the canvas's own tiling.
cv::Rect BoxOf(const cv::Mat& muscle, int tile) {
  const cv::Rect all({}, muscle.size());
  const cv::Rect own = cv::boundingRect(muscle);
  if (own.empty()) return all;
  cv::Rect box(own.x - 2, own.y - 2, own.width + 4, own.height + 4);
  box &= all;
  const cv::Point from(box.x / tile * tile, box.y / tile * tile);
  // whole tiles to the far side as well, as far as the canvas goes
  const cv::Point to((box.br().x + tile - 1) / tile * tile, (box.br().y + tile - 1) / tile * tile);
  return cv::Rect(from, to) & all;
}

}  // namespace

double MarblingPct(const FleckInput& in) {
  double fat = 0.0;
  double area = 0.0;
  for (int y = 0; y < in.muscle.rows; ++y) {
    const auto* m = in.muscle.ptr<std::uint8_t>(y);
    const auto* u = in.unreadable.ptr<std::uint8_t>(y);
    const auto* f = in.fraction.ptr<float>(y);
    for (int x = 0; x < in.muscle.cols; ++x) {
      if (!m[x] || u[x]) continue;
      fat += f[x];
      area += 1.0;
    }
  }
  return area > 0.0 ? 100.0 * fat / area : 0.0;
}

Measured MarblingWithDoubt(double pct, double unreadable_share) {
  const double sd = std::hypot(0.5, 0.12 * pct) * (1.0 + unreadable_share);
  return Measured::Of(pct, std::max(0.0, pct - kZ90 * sd), std::min(100.0, pct + kZ90 * sd), "%",
                      kBasis);
}

Measured AreaCm2(double pixels, std::optional<double> px_per_mm, double length_relative_sd,
                 double outline_relative_sd) {
  if (!px_per_mm) return Measured::Unknown("cm2", kNoScale);
  const double cm2 = pixels / (*px_per_mm * *px_per_mm) / 100.0;
  const double sd = cm2 * std::hypot(2.0 * length_relative_sd, outline_relative_sd);
  return Positive(cm2, sd, "cm2");
}

void MeasureFlecks(const FleckInput& whole, report::Muscle& muscle) {
  const int tile =
      whole.px_per_mm ? std::max(4, static_cast<int>(std::lround(10.0 * *whole.px_per_mm))) : 1;
  const cv::Rect box = BoxOf(whole.muscle, tile);
  const cv::Mat fraction = whole.fraction(box);
  const cv::Mat detected = whole.detected(box);
  const cv::Mat unreadable = whole.unreadable(box);
  const cv::Mat inside = whole.muscle(box);
  const FleckInput in{fraction, detected,        unreadable,
                      inside,   whole.px_per_mm, whole.length_relative_sd};
  const double pixels = cv::countNonZero(in.muscle);
  const double lost = pixels > 0 ? cv::countNonZero(in.muscle & in.unreadable) / pixels : 1.0;
  muscle.marbling_pct = MarblingWithDoubt(MarblingPct(in), lost);
  muscle.area = AreaCm2(pixels, in.px_per_mm, in.length_relative_sd, 0.03);
  if (!in.px_per_mm) {
    muscle.flecks_per_cm2 = Measured::Unknown("1/cm2", kNoScale);
    muscle.fleck_mm2_p50 = Measured::Unknown("mm2", kNoScale);
    muscle.fleck_mm2_p90 = Measured::Unknown("mm2", kNoScale);
    muscle.coarseness = Measured::Unknown("%", kNoScale);
    muscle.evenness = Measured::Unknown("%", kNoScale);
    return;
  }
  const double mm2 = 1.0 / (*in.px_per_mm * *in.px_per_mm);
  const cv::Mat flecks = in.detected & in.muscle;
  cv::Mat labels;
  const int n = cv::connectedComponents(flecks, labels, 8, CV_32S);
  // A fleck's area is its fat, not its pixel count: blur widens thin flecks.
  std::vector<double> fat(static_cast<std::size_t>(n), 0.0);
  for (int y = 0; y < flecks.rows; ++y) {
    const auto* l = labels.ptr<int>(y);
    const auto* f = in.fraction.ptr<float>(y);
    for (int x = 0; x < flecks.cols; ++x) {
      if (l[x] > 0) fat[static_cast<std::size_t>(l[x])] += f[x] * mm2;
    }
  }
  std::vector<double> large;
  for (std::size_t i = 1; i < fat.size(); ++i) {
    if (fat[i] >= kLeastFleckMm2) large.push_back(fat[i]);
  }
  const double cm2 = pixels * mm2 / 100.0;
  const double per_cm2 = cm2 > 0 ? static_cast<double>(large.size()) / cm2 : 0.0;
  muscle.flecks_per_cm2 = Positive(per_cm2, 0.25 * per_cm2 + 0.2, "1/cm2");
  if (large.empty()) {
    muscle.fleck_mm2_p50 = Measured::Unknown("mm2", "no fleck of 0.1 mm2 or more");
    muscle.fleck_mm2_p90 = Measured::Unknown("mm2", "no fleck of 0.1 mm2 or more");
    muscle.coarseness = Measured::Unknown("%", "no fleck of 0.1 mm2 or more");
  } else {
    const double p50 = Percentile(large, 0.5);
    const double p90 = Percentile(large, 0.9);
    muscle.fleck_mm2_p50 = Positive(p50, 0.3 * p50, "mm2");
    muscle.fleck_mm2_p90 = Positive(p90, 0.3 * p90, "mm2");
    cv::Mat distance;
    cv::distanceTransform(flecks, distance, cv::DIST_L2, 5);
    const double left = cv::countNonZero(distance > 0.5 * *in.px_per_mm);
    const double coarse = 100.0 * left / std::max(1.0, double(cv::countNonZero(flecks)));
    muscle.coarseness = Measured::Of(coarse, std::max(0.0, coarse - 12.0),
                                     std::min(100.0, coarse + 12.0), "%", kBasis);
  }
  std::vector<double> shares;
  for (int y = 0; y + tile <= in.muscle.rows; y += tile) {
    for (int x = 0; x + tile <= in.muscle.cols; x += tile) {
      const cv::Rect r(x, y, tile, tile);
      if (cv::countNonZero(in.muscle(r)) < 0.5 * tile * tile) continue;
      shares.push_back(MarblingPct(
          {in.fraction(r), in.detected(r), in.unreadable(r), in.muscle(r), in.px_per_mm, 0.0}));
    }
  }
  if (shares.size() < 3) {
    muscle.evenness = Measured::Unknown("%", "fewer than three 10 mm tiles lie inside");
    return;
  }
  double mean = 0.0;
  for (double s : shares) mean += s;
  mean /= static_cast<double>(shares.size());
  double square = 0.0;
  for (double s : shares) square += (s - mean) * (s - mean);
  const double sd = std::sqrt(square / static_cast<double>(shares.size()));
  muscle.evenness = Positive(sd, sd * (0.15 + 0.7 / std::sqrt(double(shares.size()))) + 0.2, "%");
}

}  // namespace ribwright::face
