// SPDX-License-Identifier: Apache-2.0
#include "photo/card_find.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <opencv2/imgproc.hpp>
#include <set>
#include <string>

#include "base/check.h"
#include "photo/card_layout.h"
#include "photo/card_markers.h"

namespace ribwright::photo {
namespace {

constexpr double kFirstPixels = 1.0e6;
constexpr double kSecondPixels = 2.2e6;
constexpr double kCornerFloorPx = 0.03;  // assumed: least noise of a corner that is believed
constexpr double kSamePlaneMm = 1.0;     // a marker further off than this does not lie on the card
constexpr double kTiltLimitDeg = 49.0;   // 45 and what perspective adds to the reading

Corners DesignCorners(int id) {
  const auto tags = CardTags();
  const auto tag = std::ranges::find_if(tags, [&](const CardTag& t) { return t.id == id; });
  RIBWRIGHT_CHECK(tag != tags.end());
  const double s = tag->size_mm;
  return {cv::Point2d(tag->x_mm, tag->y_mm),
          {tag->x_mm + s, tag->y_mm},
          {tag->x_mm + s, tag->y_mm + s},
          {tag->x_mm, tag->y_mm + s}};
}

struct Points {
  std::vector<cv::Point2d> design;
  std::vector<cv::Point2d> px;
};

void Append(Points& points, const Marker& marker) {
  const Corners design = DesignCorners(marker.id);
  points.design.insert(points.design.end(), design.begin(), design.end());
  points.px.insert(points.px.end(), marker.corners.begin(), marker.corners.end());
}

// Root mean square distance of the marker's corners from where the card would have them, in
// designed mm.
double MissMm(const cv::Matx33d& px_from_design, const Marker& marker) {
  const Corners design = DesignCorners(marker.id);
  double sum = 0.0;
  double side = 0.0;
  for (std::size_t i = 0; i < 4; ++i) {
    const cv::Point2d d = Transform(px_from_design, design[i]) - marker.corners[i];
    sum += d.dot(d);
    const cv::Point2d edge = marker.corners[(i + 1) % 4] - marker.corners[i];
    side += std::hypot(edge.x, edge.y) / 4.0;
  }
  const double mm_per_px = std::abs(design[1].x - design[0].x) / side;
  const double miss = std::sqrt(sum / 4.0) * mm_per_px;
  return std::isfinite(miss) ? miss : 1e9;
}

// The largest set of markers, one an id, that some pair of them explains.
std::vector<Marker> Agreeing(const std::vector<Marker>& markers) {
  std::vector<Marker> best;
  double best_miss = 0.0;
  for (std::size_t i = 0; i < markers.size(); ++i) {
    for (std::size_t j = i + 1; j < markers.size(); ++j) {
      if (markers[i].id == markers[j].id) continue;
      Points pair;
      Append(pair, markers[i]);
      Append(pair, markers[j]);
      const auto h = DirectHomography(pair.design, pair.px);
      if (!h) continue;
      std::vector<Marker> set;
      double miss = 0.0;
      std::set<int> ids;
      for (const Marker& m : markers) {
        const double own = MissMm(*h, m);
        if (own < kSamePlaneMm && ids.insert(m.id).second) {
          set.push_back(m);
          miss += own;
        }
      }
      if (set.size() > best.size() || (set.size() == best.size() && miss < best_miss)) {
        best = std::move(set);
        best_miss = miss;
      }
    }
  }
  return best.size() >= 2 ? best : std::vector<Marker>{};
}

std::vector<Marker> SearchAt(const cv::Mat& grey, double pixels, int threads) {
  const double shrink = std::max(1.0, std::sqrt(static_cast<double>(grey.total()) / pixels));
  std::vector<Marker> markers;
  for (const Marker& rough : DetectMarkers(grey, shrink, threads)) {
    const auto corners = RefineCorners(grey, rough.corners);
    if (corners) markers.push_back({rough.id, *corners});
  }
  return Agreeing(markers);
}

// Singular values of the view's Jacobian at the card's middle: px a mm along and across the tilt.
void DescribeView(CardFound& card) {
  const cv::Matx33d h = card.px_from_design.Matrix();
  const cv::Point2d m(kCardWidthMm / 2, kCardHeightMm / 2);
  const cv::Point2d at = Transform(h, m);
  const double w = h(2, 0) * m.x + h(2, 1) * m.y + h(2, 2);
  const double a = (h(0, 0) - at.x * h(2, 0)) / w;
  const double b = (h(0, 1) - at.x * h(2, 1)) / w;
  const double c = (h(1, 0) - at.y * h(2, 0)) / w;
  const double d = (h(1, 1) - at.y * h(2, 1)) / w;
  const double det = std::abs(a * d - b * c);
  const double half = 0.5 * (a * a + b * b + c * c + d * d);
  const double root = std::sqrt(std::max(0.0, half * half - det * det));
  card.px_per_mm = std::sqrt(det);
  const double ratio = std::sqrt(std::max(0.0, half - root) / (half + root));
  card.tilt_deg = std::acos(std::min(1.0, ratio)) * 180.0 / std::numbers::pi;
}

// A view that turns the card over or puts part of it behind the camera is none.
bool Plausible(const CardFound& card) {
  const cv::Matx33d h = card.px_from_design.Matrix();
  double sign = 0.0;
  for (const auto& p :
       {cv::Point2d(0, 0), {kCardWidthMm, 0}, {kCardWidthMm, kCardHeightMm}, {0, kCardHeightMm}}) {
    const double w = h(2, 0) * p.x + h(2, 1) * p.y + h(2, 2);
    if (sign * w < 0.0 || w == 0.0) return false;
    sign = w;
  }
  return cv::determinant(h) * sign > 0.0 && card.px_per_mm > 1.0 && card.tilt_deg < 80.0;
}

}  // namespace

std::optional<CardFound> FindCard(const cv::Mat& rgb, const CardOptions& options) {
  RIBWRIGHT_CHECK(rgb.type() == CV_8UC3 || rgb.type() == CV_8UC1);
  RIBWRIGHT_CHECK(!options.ruler_mm ||
                  (*options.ruler_mm >= kLeastRulerMm && *options.ruler_mm <= kMostRulerMm));
  if (rgb.cols < 64 || rgb.rows < 64) return std::nullopt;
  cv::Mat grey = rgb;
  if (rgb.channels() == 3) cv::cvtColor(rgb, grey, cv::COLOR_RGB2GRAY);
  std::vector<Marker> markers = SearchAt(grey, kFirstPixels, options.threads);
  if (markers.size() < 4 && static_cast<double>(grey.total()) > kFirstPixels) {
    std::vector<Marker> more = SearchAt(grey, kSecondPixels, options.threads);
    if (more.size() > markers.size()) markers = std::move(more);
  }
  if (markers.empty()) return std::nullopt;

  Points points;
  for (const Marker& m : markers) Append(points, m);
  auto fit = FitHomography(points.design, points.px, 1.0, kCornerFloorPx);
  if (!fit) return std::nullopt;
  CardFound card;
  card.px_from_design = *fit;
  DescribeView(card);
  if (!Plausible(card)) return std::nullopt;
  card.print_scale = options.ruler_mm ? *options.ruler_mm / kCardRulerMm : 1.0;
  card.print_relative_sd = options.ruler_mm ? kRulerRelativeSd : kUnmeasuredPrintSd;
  for (const Marker& m : markers) card.tag_ids.push_back(m.id);
  constexpr double kAround = 2.0;
  const cv::Matx33d h = fit->Matrix();
  for (const auto& p : {cv::Point2d(-kAround, -kAround),
                        {kCardWidthMm + kAround, -kAround},
                        {kCardWidthMm + kAround, kCardHeightMm + kAround},
                        {-kAround, kCardHeightMm + kAround}}) {
    card.region_px.push_back(Transform(h, p));
  }
  if (markers.size() < CardTags().size()) {
    card.warnings.push_back({Code::kCardPartlyHidden,
                             std::to_string(markers.size()) + " of " +
                                 std::to_string(CardTags().size()) +
                                 " markers of the card can be read; the rest is covered, soiled or "
                                 "out of the photo."});
  }
  if (card.tilt_deg > kTiltLimitDeg) {
    card.warnings.push_back(
        {Code::kCardTilted, "The photo looks at the card at about " +
                                std::to_string(static_cast<int>(std::lround(card.tilt_deg))) +
                                " degrees; photograph from above."});
  }
  return card;
}

}  // namespace ribwright::photo
