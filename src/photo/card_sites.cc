// SPDX-License-Identifier: Apache-2.0
#include "photo/card_sites.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "base/check.h"
#include "photo/card_layout.h"
#include "photo/light_plane.h"
#include "photo/srgb.h"

namespace ribwright::photo {
namespace {

constexpr std::size_t kLeastSamples = 20;
constexpr std::size_t kLeastWhites = 6;
constexpr double kPatchInsetMm = 1.3;  // clear of the patch's blurred edge
constexpr double kMostClipped = 0.2;
constexpr double kMostWhiteSpread = 0.25;
constexpr double kMostPatchSpread = 1.0;
constexpr double kLeastWeight = 0.3;

double Sum(const cv::Vec3d& v) { return v[0] + v[1] + v[2]; }

// The paper beside a patch: the mean of the usable whites within 9 mm to its left and right.
std::optional<cv::Vec3d> PaperBeside(const CardPatch& patch, const std::vector<CardWhite>& places,
                                     const std::vector<SiteReading>& readings) {
  const double middle_x = patch.x_mm + patch.width_mm / 2;
  const double middle_y = patch.y_mm + patch.height_mm / 2;
  cv::Vec3d left(0, 0, 0);
  cv::Vec3d right(0, 0, 0);
  for (std::size_t i = 0; i < places.size(); ++i) {
    const double dx = places[i].x_mm + places[i].width_mm / 2 - middle_x;
    const double dy = places[i].y_mm + places[i].height_mm / 2 - middle_y;
    if (std::abs(dy) > 1.0 || std::abs(dx) > 9.0) continue;
    (dx < 0 ? left : right) = readings[i].linear;
  }
  if (Sum(left) > 0.0 && Sum(right) > 0.0) return (left + right) * 0.5;
  return std::nullopt;
}

}  // namespace

std::optional<SiteReading> ReadSite(const cv::Mat& rgb, const cv::Matx33d& px_from_design,
                                    double x_mm, double y_mm, double width_mm, double height_mm) {
  RIBWRIGHT_CHECK(rgb.type() == CV_8UC3);
  constexpr int kMostSide = 24;
  SiteReading site;
  site.px = Transform(px_from_design, {x_mm + width_mm / 2, y_mm + height_mm / 2});
  const cv::Point2d a = Transform(px_from_design, {x_mm, y_mm});
  const cv::Point2d b = Transform(px_from_design, {x_mm + width_mm, y_mm});
  const cv::Point2d c = Transform(px_from_design, {x_mm, y_mm + height_mm});
  // About one sample a pixel, at most kMostSide each way.
  const auto count = [=](const cv::Point2d& d) {
    return std::clamp(static_cast<int>(std::hypot(d.x, d.y)), 2, kMostSide);
  };
  const int across = count(b - a);
  const int down = count(c - a);
  struct Sample {
    double sum;
    cv::Vec3d linear;
  };
  std::vector<Sample> samples;
  samples.reserve(static_cast<std::size_t>(across * down));
  const auto& linear = LinearFromCode();
  int clipped = 0;
  for (int j = 0; j < down; ++j) {
    for (int i = 0; i < across; ++i) {
      const cv::Point2d p = Transform(px_from_design, {x_mm + width_mm * (i + 0.5) / across,
                                                       y_mm + height_mm * (j + 0.5) / down});
      const int x = static_cast<int>(std::floor(p.x));
      const int y = static_cast<int>(std::floor(p.y));
      if (x < 0 || y < 0 || x >= rgb.cols || y >= rgb.rows) return std::nullopt;
      const cv::Vec3b code = rgb.at<cv::Vec3b>(y, x);
      const cv::Vec3d v(linear[code[0]], linear[code[1]], linear[code[2]]);
      clipped += std::max({code[0], code[1], code[2]}) >= 253 ? 1 : 0;
      samples.push_back({Sum(v), v});
    }
  }
  if (samples.size() < kLeastSamples) return std::nullopt;
  std::ranges::sort(samples, {}, &Sample::sum);
  const std::size_t n = samples.size();
  const std::size_t from = n / 5;
  const std::size_t to = n - n / 5;
  for (std::size_t i = from; i < to; ++i) site.linear += samples[i].linear;
  site.linear *= 1.0 / static_cast<double>(to - from);
  const double median = samples[n / 2].sum;
  site.spread = median > 0.0 ? (samples[to - 1].sum - samples[from].sum) / median : 0.0;
  site.clipped = static_cast<double>(clipped) / static_cast<double>(n);
  return site;
}

std::vector<PatchReading> ReadPatches(const cv::Mat& rgb, const CardFound& card) {
  const cv::Matx33d h = card.px_from_design.Matrix();
  std::vector<PatchReading> readings;
  const auto patches = CardPatches();
  for (std::size_t i = 0; i < patches.size(); ++i) {
    const CardPatch& p = patches[i];
    const auto site = ReadSite(rgb, h, p.x_mm + kPatchInsetMm, p.y_mm + kPatchInsetMm,
                               p.width_mm - 2 * kPatchInsetMm, p.height_mm - 2 * kPatchInsetMm);
    if (!site || site->clipped > kMostClipped || site->spread > kMostPatchSpread) continue;
    readings.push_back({static_cast<int>(i), *site});
  }
  return readings;
}

std::optional<PaperReading> ReadPaper(const cv::Mat& rgb, const CardFound& card,
                                      int* clipped_whites) {
  const cv::Matx33d h = card.px_from_design.Matrix();
  std::vector<CardWhite> places;
  std::vector<SiteReading> readings;
  *clipped_whites = 0;
  for (const CardWhite& w : CardWhites()) {
    const auto site = ReadSite(rgb, h, w.x_mm, w.y_mm, w.width_mm, w.height_mm);
    if (!site) continue;
    if (site->clipped > kMostClipped) {
      ++*clipped_whites;
      continue;
    }
    if (site->spread > kMostWhiteSpread || Sum(site->linear) < 0.02) continue;
    places.push_back(w);
    readings.push_back(*site);
  }
  std::vector<LightReading> light;
  for (const SiteReading& r : readings) light.push_back({r.px.x, r.px.y, Sum(r.linear)});
  const auto plane = FitLightPlane(light);
  if (!plane) return std::nullopt;

  PaperReading out;
  out.light = *plane;
  out.middle_px = Transform(h, {kCardWidthMm / 2, kCardHeightMm / 2});
  cv::Vec3d log_paper(0, 0, 0);
  for (std::size_t i = 0; i < readings.size(); ++i) {
    if (plane->weights[i] < kLeastWeight) continue;
    out.places.push_back(places[i]);
    out.whites.push_back(readings[i]);
    const double away = plane->LogAt(readings[i].px.x, readings[i].px.y) -
                        plane->LogAt(out.middle_px.x, out.middle_px.y);
    for (int c = 0; c < 3; ++c) {
      log_paper[c] += std::log(std::max(1e-4, readings[i].linear[c])) - away;
    }
  }
  if (out.whites.size() < kLeastWhites) return std::nullopt;
  for (int c = 0; c < 3; ++c) {
    out.paper[c] = std::exp(log_paper[c] / static_cast<double>(out.whites.size()));
  }
  return out;
}

cv::Vec3d OverPaper(const PatchReading& patch, const PaperReading& paper) {
  const CardPatch& p = CardPatches()[static_cast<std::size_t>(patch.patch)];
  cv::Vec3d local = paper.paper * std::exp(paper.light.LogAt(patch.site.px.x, patch.site.px.y) -
                                           paper.light.LogAt(paper.middle_px.x, paper.middle_px.y));
  if (const auto beside = PaperBeside(p, paper.places, paper.whites)) local = *beside;
  cv::Vec3d over;
  for (int c = 0; c < 3; ++c) over[c] = patch.site.linear[c] / local[c];
  return over;
}

}  // namespace ribwright::photo
