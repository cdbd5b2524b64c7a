// SPDX-License-Identifier: Apache-2.0
#include "phantom/truth.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <opencv2/imgproc.hpp>

namespace ribwright::phantom {
namespace {

double Quantile(std::vector<double>& sorted, double q) {
  if (sorted.empty()) return 0.0;
  const double at = q * static_cast<double>(sorted.size() - 1);
  const auto low = static_cast<std::size_t>(at);
  const std::size_t high = std::min(low + 1, sorted.size() - 1);
  return sorted[low] + (sorted[high] - sorted[low]) * (at - static_cast<double>(low));
}

double Evenness(const cv::Mat& fat, const cv::Mat& inside, double px_per_mm) {
  // A coarser grid is enough: tiles are 10 mm wide.
  const double scale = std::min(1.0, 5.0 / px_per_mm);
  cv::Mat own, share, area;
  fat.copyTo(own, inside);
  cv::resize(own, share, {}, scale, scale, cv::INTER_AREA);
  cv::resize(cv::Mat(inside > 0), area, share.size(), 0, 0, cv::INTER_AREA);
  const cv::Moments m = cv::moments(area, false);
  if (m.m00 <= 0) return -1.0;
  const cv::Point2d middle(m.m10 / m.m00, m.m01 / m.m00);
  const double axis = 0.5 * std::atan2(2 * m.mu11, m.mu20 - m.mu02);
  const double c = std::cos(axis);
  const double s = std::sin(axis);
  const double tile_px = kTileMm * px_per_mm * scale;
  std::map<std::pair<int, int>, std::pair<double, double>> tiles;  // fat, area
  for (int y = 0; y < area.rows; ++y) {
    for (int x = 0; x < area.cols; ++x) {
      const int a = area.at<std::uint8_t>(y, x);
      if (a == 0) continue;
      const double dx = x - middle.x;
      const double dy = y - middle.y;
      const std::pair<int, int> key(
          static_cast<int>(std::floor((c * dx + s * dy) / tile_px + 0.5)),
          static_cast<int>(std::floor((c * dy - s * dx) / tile_px + 0.5)));
      auto& tile = tiles[key];
      tile.first += share.at<std::uint8_t>(y, x);
      tile.second += a;
    }
  }
  double sum = 0.0;
  double sum2 = 0.0;
  int n = 0;
  for (const auto& [key, tile] : tiles) {
    if (tile.second < 0.5 * 255.0 * tile_px * tile_px) continue;
    const double pct = 100.0 * tile.first / tile.second;
    sum += pct;
    sum2 += pct * pct;
    ++n;
  }
  if (n < 2) return -1.0;
  return std::sqrt(std::max(0.0, sum2 / n - (sum / n) * (sum / n)));
}

report::Outline Carry(const std::vector<MmRing>& rings,
                      const std::function<cv::Point2d(cv::Point2d)>& px_from_mm) {
  report::Outline outline;
  for (const MmRing& ring : rings) {
    report::Ring out;
    for (const cv::Point2d& p : ring) {
      const cv::Point2d q = px_from_mm(p);
      out.push_back({q.x, q.y});
    }
    outline.push_back(std::move(out));
  }
  return outline;
}

}  // namespace

MuscleCounts CountMuscle(const cv::Mat& fat, const cv::Mat& inside, double px_per_mm) {
  MuscleCounts counts;
  const double mm2 = 1.0 / (px_per_mm * px_per_mm);
  counts.area_mm2 = cv::countNonZero(inside) * mm2;
  if (counts.area_mm2 <= 0) return counts;
  cv::Mat own;
  fat.copyTo(own, inside);
  counts.fat_mm2 = cv::sum(own)[0] / 255.0 * mm2;
  const cv::Mat flecks = own >= 128;
  cv::Mat labels, stats, centroids;
  const int pieces = cv::connectedComponentsWithStats(flecks, labels, stats, centroids, 8, CV_32S);
  std::vector<double> sizes;
  for (int i = 1; i < pieces; ++i) {
    const double size = stats.at<int>(i, cv::CC_STAT_AREA) * mm2;
    if (size >= kFleckLeastMm2) sizes.push_back(size);
  }
  std::sort(sizes.begin(), sizes.end());
  counts.flecks = static_cast<double>(sizes.size());
  counts.fleck_p50_mm2 = Quantile(sizes, 0.5);
  counts.fleck_p90_mm2 = Quantile(sizes, 0.9);
  const int fleck_pixels = cv::countNonZero(flecks);
  if (fleck_pixels > 0) {
    cv::Mat bordered, distance;
    cv::copyMakeBorder(flecks, bordered, 1, 1, 1, 1, cv::BORDER_CONSTANT, cv::Scalar(0));
    cv::distanceTransform(bordered, distance, cv::DIST_L2, 5);
    counts.coarseness_pct =
        100.0 * cv::countNonZero(distance > kErosionMm * px_per_mm + 0.5) / fleck_pixels;
  }
  counts.evenness_pct = Evenness(fat, inside, px_per_mm);
  return counts;
}

std::vector<MmRing> RingsOf(const cv::Mat& mask, const FaceRaster& face, double step_mm,
                            cv::Point corner) {
  std::vector<std::vector<cv::Point>> contours;
  // Doubled, so that the ring runs along pixel edges rather than through pixel centres.
  cv::Mat twice;
  cv::copyMakeBorder(mask, twice, 1, 1, 1, 1, cv::BORDER_CONSTANT, cv::Scalar(0));
  cv::findContours(twice, contours, cv::RETR_EXTERNAL, cv::CHAIN_APPROX_NONE);
  std::vector<MmRing> rings;
  for (const auto& contour : contours) {
    if (cv::contourArea(contour) < 2.0 * face.px_per_mm * face.px_per_mm) continue;
    const auto n = static_cast<int>(contour.size());
    const int step = std::max(1, static_cast<int>(step_mm * face.px_per_mm));
    const int half = std::max(1, step / 2);
    MmRing ring;
    for (int i = 0; i < n; i += step) {
      // Mean over a step smooths the staircase; half a pixel outwards undoes the contour's inset.
      cv::Point2d mean(0, 0);
      for (int k = -half; k <= half; ++k) {
        const cv::Point& p = contour[static_cast<std::size_t>(((i + k) % n + n) % n)];
        mean += cv::Point2d(p.x - 1 + 0.5, p.y - 1 + 0.5);
      }
      mean *= 1.0 / (2 * half + 1);
      const cv::Point& a = contour[static_cast<std::size_t>(((i - half) % n + n) % n)];
      const cv::Point& b = contour[static_cast<std::size_t>((i + half) % n)];
      const cv::Point2d along(b.x - a.x, b.y - a.y);
      const double length = std::max(1e-9, std::sqrt(along.dot(along)));
      cv::Point2d out(along.y / length, -along.x / length);
      const int px = static_cast<int>(std::floor(mean.x + 2.5 * out.x));
      const int py = static_cast<int>(std::floor(mean.y + 2.5 * out.y));
      if (px >= 0 && py >= 0 && px < mask.cols && py < mask.rows &&
          mask.at<std::uint8_t>(py, px) != 0)
        out = -out;
      mean += 0.5 * out;
      ring.push_back(face.MmFromGrid(mean.x + corner.x, mean.y + corner.y));
    }
    rings.push_back(std::move(ring));
  }
  std::sort(rings.begin(), rings.end(),
            [](const MmRing& a, const MmRing& b) { return a.size() > b.size(); });
  return rings;
}

report::Face MeasureFace(const FaceRaster& face,
                         const std::function<cv::Point2d(cv::Point2d)>& px_from_mm) {
  const auto exact = [](double v, const char* unit) { return Measured::Exact(v, unit); };
  report::Face out;
  const double cm2 = 0.01 / (face.px_per_mm * face.px_per_mm);
  const cv::Mat all = face.label != static_cast<int>(kOutside);
  const double area = cv::countNonZero(all) * cm2;
  const double other_fat = cv::countNonZero(face.label == static_cast<int>(kFat)) * cm2;
  double muscle_area = 0.0;
  double muscle_fat = 0.0;
  for (std::size_t i = 0; i < face.muscles.size(); ++i) {
    const RasterMuscle& m = face.muscles[i];
    if (m.pixels == 0) continue;
    const cv::Mat inside = face.label(m.box) == static_cast<int>(kFirstMuscle + i);
    const MuscleCounts c = CountMuscle(face.fat(m.box), inside, face.px_per_mm);
    report::Muscle muscle;
    muscle.name = m.name;
    muscle.area = exact(c.area_mm2 / 100.0, "cm2");
    muscle.marbling_pct = exact(100.0 * c.fat_mm2 / c.area_mm2, "%");
    muscle.flecks_per_cm2 = exact(c.flecks / (c.area_mm2 / 100.0), "1/cm2");
    const char* none = "no fleck of 0.1 mm2 or more";
    muscle.fleck_mm2_p50 =
        c.flecks > 0 ? exact(c.fleck_p50_mm2, "mm2") : Measured::Unknown("mm2", none);
    muscle.fleck_mm2_p90 =
        c.flecks > 0 ? exact(c.fleck_p90_mm2, "mm2") : Measured::Unknown("mm2", none);
    muscle.coarseness = exact(c.coarseness_pct, "%");
    muscle.evenness = c.evenness_pct >= 0
                          ? exact(c.evenness_pct, "% points")
                          : Measured::Unknown("% points", "the muscle is too small for two tiles");
    muscle.outline_px = Carry(RingsOf(inside, face, 0.5, m.box.tl()), px_from_mm);
    muscle_area += c.area_mm2 / 100.0;
    muscle_fat += c.fat_mm2 / 100.0;
    // The eye leads the list.
    out.muscles.insert(i == face.eye ? out.muscles.begin() : out.muscles.end(), std::move(muscle));
  }
  out.outline_px = Carry(RingsOf(all, face), px_from_mm);
  out.area = exact(area, "cm2");
  const double lean = muscle_area - muscle_fat;
  out.lean_area = exact(lean, "cm2");
  out.fat_share_pct = exact(100.0 * (other_fat + muscle_fat) / area, "%");
  out.fat_to_lean = lean > 0 ? exact((other_fat + muscle_fat) / lean, "ratio")
                             : Measured::Unknown("ratio", "no lean");
  out.marbling_pct = muscle_area > 0 ? exact(100.0 * muscle_fat / muscle_area, "%")
                                     : Measured::Unknown("%", "no muscle");
  out.cover = MeasureCover(face);
  return out;
}

}  // namespace ribwright::phantom
