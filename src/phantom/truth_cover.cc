// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "phantom/truth.h"

namespace ribwright::phantom {
namespace {

struct EdgePoint {
  cv::Point2d at;           // mm
  cv::Point2d inwards;      // unit
  double thickness = -1.0;  // mm to the first muscle; negative: none within reach, or bone between
  cv::Point2d eye_hit;
  bool meets_eye = false;
  bool Covered() const { return thickness >= kCoverLeastMm && thickness <= kCoverMostMm; }
};

int LabelAt(const FaceRaster& face, cv::Point2d mm) {
  const int x = static_cast<int>(std::floor((mm.x - face.origin_mm.x) * face.px_per_mm));
  const int y = static_cast<int>(std::floor((mm.y - face.origin_mm.y) * face.px_per_mm));
  if (x < 0 || y < 0 || x >= face.label.cols || y >= face.label.rows) return kOutside;
  return face.label.at<std::uint8_t>(y, x);
}

void LookInwards(const FaceRaster& face, EdgePoint& e) {
  constexpr double kEyeReachMm = 90.0;
  const double step = 0.5 / face.px_per_mm;
  bool bone = false;
  for (double d = step; d <= kEyeReachMm; d += step) {
    const int label = LabelAt(face, e.at + d * e.inwards);
    if (label == kBone) bone = true;
    if (label == kOutside && d > 1.0) return;
    if (label < kFirstMuscle) continue;
    if (e.thickness < 0 && !bone) e.thickness = d;
    bone = true;  // only the first muscle ends the cover
    if (label == static_cast<int>(kFirstMuscle + face.eye)) {
      e.meets_eye = true;
      e.eye_hit = e.at + d * e.inwards;
      return;
    }
  }
}

std::vector<EdgePoint> WalkEdge(const FaceRaster& face) {
  const std::vector<MmRing> rings = RingsOf(face.label != static_cast<int>(kOutside), face, 1.0);
  std::vector<EdgePoint> edge;
  if (rings.empty()) return edge;
  const MmRing& ring = rings.front();
  const auto n = static_cast<int>(ring.size());
  const auto at = [&](int i) { return ring[static_cast<std::size_t>((i % n + n) % n)]; };
  for (int i = 0; i < n; ++i) {
    EdgePoint e;
    e.at = at(i);
    const cv::Point2d along = at(i + 2) - at(i - 2);  // about 3-4 mm of edge
    const double length = std::max(1e-9, std::sqrt(along.dot(along)));
    e.inwards = {-along.y / length, along.x / length};
    if (LabelAt(face, e.at + 0.6 * e.inwards) == kOutside) e.inwards = -e.inwards;
    LookInwards(face, e);
    edge.push_back(e);
  }
  return edge;
}

// The eye's chine end and length along its long axis; the chine lies towards -x.
struct EyeAxis {
  cv::Point2d middle, along;
  double low = 0, high = 0;
  double Along(cv::Point2d p) const { return (p - middle).dot(along); }
};

EyeAxis AxisOfEye(const FaceRaster& face) {
  EyeAxis axis;
  if (face.muscles[face.eye].box.empty()) return axis;
  const cv::Rect box = face.muscles[face.eye].box;
  const cv::Mat eye = face.label(box) == static_cast<int>(kFirstMuscle + face.eye);
  const cv::Moments m = cv::moments(eye, true);
  axis.middle = face.MmFromGrid(box.x + m.m10 / m.m00 + 0.5, box.y + m.m01 / m.m00 + 0.5);
  const double angle = 0.5 * std::atan2(2 * m.mu11, m.mu20 - m.mu02);
  axis.along = {std::cos(angle), std::sin(angle)};
  if (axis.along.x < 0) axis.along = -axis.along;
  for (const MmRing& ring : RingsOf(eye, face, 0.5, box.tl())) {
    for (const cv::Point2d& p : ring) {
      axis.low = std::min(axis.low, axis.Along(p));
      axis.high = std::max(axis.high, axis.Along(p));
    }
  }
  return axis;
}

// First and last index of the longest run of covered edge; gaps of up to 5 points (5 mm) are
// bridged.
std::pair<int, int> LongestRun(const std::vector<EdgePoint>& edge) {
  constexpr int kBridge = 5;
  const auto n = static_cast<int>(edge.size());
  const auto covered = [&](int i) { return edge[static_cast<std::size_t>(i % n)].Covered(); };
  std::pair<int, int> best(0, -1);
  for (int i = 0; i < n; ++i) {
    if (!covered(i)) continue;
    int last = i;
    for (int j = i + 1; j < i + n && j - last <= kBridge; ++j) {
      if (covered(j)) last = j;
    }
    if (last - i > best.second - best.first) best = {i, last};
    if (last >= n) break;
    i = std::max(i, last);
  }
  return best;
}

Measured ThreeQuarters(const std::vector<EdgePoint>& edge, const EyeAxis& axis) {
  const double wanted = axis.low + 0.75 * (axis.high - axis.low);
  const EdgePoint* best = nullptr;
  double best_off = 0.1 * (axis.high - axis.low);  // further away is no place "over the eye"
  for (const EdgePoint& e : edge) {
    if (!e.meets_eye || e.inwards.y < 0.1) continue;  // the cover side is up (-y)
    const double off = std::abs(axis.Along(e.eye_hit) - wanted);
    if (off < best_off) {
      best_off = off;
      best = &e;
    }
  }
  if (best == nullptr) return Measured::Unknown("mm", "no outer edge lies over the eye there");
  if (best->thickness < 0 || best->thickness > kCoverMostMm) {
    return Measured::Unknown("mm", "no cover of at most 30 mm over the eye there");
  }
  return Measured::Exact(best->thickness < kCoverLeastMm ? 0.0 : best->thickness, "mm");
}

}  // namespace

report::Cover MeasureCover(const FaceRaster& face) {
  report::Cover cover;
  cover.mean = Measured::Unknown("mm", "no covered edge");
  cover.at_three_quarters = cover.mean;
  const std::vector<EdgePoint> edge = WalkEdge(face);
  if (edge.empty()) return cover;
  double sum = 0.0;
  int count = 0;
  for (const EdgePoint& e : edge) {
    if (!e.Covered()) continue;
    sum += e.thickness;
    ++count;
  }
  cover.at_three_quarters = ThreeQuarters(edge, AxisOfEye(face));
  if (count == 0) return cover;
  cover.mean = Measured::Exact(sum / count, "mm");
  const auto n = static_cast<int>(edge.size());
  auto [first, last] = LongestRun(edge);
  if (last - first < 20) return cover;
  const bool chine_first = edge[static_cast<std::size_t>(first % n)].at.x <=
                           edge[static_cast<std::size_t>(last % n)].at.x;
  for (int k = 0; k <= 20; ++k) {
    const double along = k / 20.0;
    const double place =
        chine_first ? first + along * (last - first) : last - along * (last - first);
    // The nearest covered point within the bridge.
    for (int off = 0; off <= 5; ++off) {
      const EdgePoint& a = edge[static_cast<std::size_t>((cvRound(place) + off) % n)];
      const EdgePoint& b = edge[static_cast<std::size_t>((cvRound(place) - off + n) % n)];
      if (!a.Covered() && !b.Covered()) continue;
      cover.profile.push_back(
          {along, Measured::Exact(a.Covered() ? a.thickness : b.thickness, "mm")});
      break;
    }
  }
  return cover;
}

}  // namespace ribwright::phantom
