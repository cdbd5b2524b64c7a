// SPDX-License-Identifier: Apache-2.0
#include "photo/card_markers.h"

extern "C" {
#include <apriltag/apriltag.h>
#include <apriltag/tag36h11.h>
}

#include <algorithm>
#include <cmath>
#include <memory>
#include <opencv2/imgproc.hpp>
#include <tuple>

#include "base/check.h"
#include "photo/card_layout.h"
#include "photo/homography.h"

namespace ribwright::photo {
namespace {

struct DetectorDeleter {
  void operator()(apriltag_detector_t* d) const { apriltag_detector_destroy(d); }
};
struct FamilyDeleter {
  void operator()(apriltag_family_t* f) const { tag36h11_destroy(f); }
};
struct DetectionsDeleter {
  void operator()(zarray_t* z) const { apriltag_detections_destroy(z); }
};

bool OnCard(int id) {
  return std::ranges::any_of(CardTags(), [&](const CardTag& t) { return t.id == id; });
}

// sRGB decoding (IEC 61966-2-1) of 8-bit codes.
const std::array<float, 256>& LinearTable() {
  static const std::array<float, 256> table = [] {
    std::array<float, 256> t{};
    for (std::size_t i = 0; i < t.size(); ++i) {
      const double v = static_cast<double>(i) / 255.0;
      t[i] = static_cast<float>(v <= 0.04045 ? v / 12.92 : std::pow((v + 0.055) / 1.055, 2.4));
    }
    return t;
  }();
  return table;
}

// Linear light between pixel centres; nullopt outside the picture.
std::optional<double> Sample(const cv::Mat& grey, const cv::Point2d& p) {
  const double x = p.x - 0.5;
  const double y = p.y - 0.5;
  const int x0 = static_cast<int>(std::floor(x));
  const int y0 = static_cast<int>(std::floor(y));
  if (x0 < 0 || y0 < 0 || x0 + 1 >= grey.cols || y0 + 1 >= grey.rows) return std::nullopt;
  const auto& linear = LinearTable();
  const std::uint8_t* a = grey.ptr<std::uint8_t>(y0) + x0;
  const std::uint8_t* b = grey.ptr<std::uint8_t>(y0 + 1) + x0;
  const double fx = x - x0;
  const double fy = y - y0;
  return (1 - fy) * ((1 - fx) * linear[a[0]] + fx * linear[a[1]]) +
         fy * ((1 - fx) * linear[b[0]] + fx * linear[b[1]]);
}

struct Line {  // normal . p = offset, unit normal
  cv::Point2d normal;
  double offset = 0.0;
};

// One crossing from black (inside) to white (outside) along a straight path, as a share of the
// path.
struct Crossing {
  double at = 0.0;
  double contrast = 0.0;
};

std::optional<Crossing> FindCrossing(const cv::Mat& grey, const cv::Point2d& inside,
                                     const cv::Point2d& outside) {
  const double length = std::hypot(outside.x - inside.x, outside.y - inside.y);
  const int n = std::clamp(static_cast<int>(std::ceil(length / 0.5)), 12, 200);
  std::array<double, 201> v{};
  for (int i = 0; i <= n; ++i) {
    const auto s = Sample(grey, inside + (outside - inside) * (static_cast<double>(i) / n));
    if (!s) return std::nullopt;
    v[static_cast<std::size_t>(i)] = *s;
  }
  const int end = std::max(2, n / 6);
  double black = 0.0;
  double white = 0.0;
  for (int i = 0; i < end; ++i) {
    black += v[static_cast<std::size_t>(i)] / end;
    white += v[static_cast<std::size_t>(n - i)] / end;
  }
  const double contrast = white - black;
  if (contrast <= 0.01) return std::nullopt;
  // With flat ends, the area under the profile tells where a step of the same area stands.
  double area = 0.0;
  for (int i = 0; i < n; ++i) {
    area += 0.5 * (v[static_cast<std::size_t>(i)] + v[static_cast<std::size_t>(i + 1)]) - black;
  }
  const double at = 1.0 - area / (contrast * n);
  if (!(at > 0.15 && at < 0.85)) return std::nullopt;
  return Crossing{at, contrast};
}

// Total least squares line, refitted without points over 3 medians away.
std::optional<Line> FitLine(std::vector<cv::Point2d> points) {
  for (int round = 0; round < 3; ++round) {
    if (points.size() < 8) return std::nullopt;
    cv::Point2d centre(0, 0);
    for (const auto& p : points) centre += p;
    centre /= static_cast<double>(points.size());
    double xx = 0;
    double xy = 0;
    double yy = 0;
    for (const auto& p : points) {
      const cv::Point2d d = p - centre;
      xx += d.x * d.x;
      xy += d.x * d.y;
      yy += d.y * d.y;
    }
    const double angle = 0.5 * std::atan2(2 * xy, xx - yy);
    const cv::Point2d normal(-std::sin(angle), std::cos(angle));
    const Line line{normal, normal.dot(centre)};
    if (round == 2) return line;
    std::vector<double> distances;
    for (const auto& p : points) distances.push_back(std::abs(normal.dot(p) - line.offset));
    std::vector<double> sorted = distances;
    std::nth_element(sorted.begin(), sorted.begin() + static_cast<long>(sorted.size() / 2),
                     sorted.end());
    const double limit = std::max(0.1, 3.0 * sorted[sorted.size() / 2]);
    std::vector<cv::Point2d> kept;
    for (std::size_t i = 0; i < points.size(); ++i) {
      if (distances[i] <= limit) kept.push_back(points[i]);
    }
    points = std::move(kept);
  }
  return std::nullopt;
}

std::optional<cv::Point2d> Meet(const Line& a, const Line& b) {
  const double det = a.normal.x * b.normal.y - a.normal.y * b.normal.x;
  if (std::abs(det) < 0.05) return std::nullopt;
  return cv::Point2d((a.offset * b.normal.y - b.offset * a.normal.y) / det,
                     (a.normal.x * b.offset - b.normal.x * a.offset) / det);
}

// One pass along paths of `reach` cells to either side of the edges that `rough` gives. The black
// frame and the quiet zone are one cell wide, so long paths catch a rough guess; short ones, once
// they are centred on the edge, keep clear of what lies beyond and lose the same blur at both ends.
std::optional<Corners> RefineOnce(const cv::Mat& grey, const Corners& rough, double reach) {
  // The marker's own frame: the black square is 0..8 cells each way.
  const Corners square{cv::Point2d(0, 0), {8, 0}, {8, 8}, {0, 8}};
  const auto view = DirectHomography(square, rough);
  if (!view) return std::nullopt;
  constexpr int kAcross = 24;
  std::array<Line, 4> lines;
  for (std::size_t side = 0; side < 4; ++side) {
    const cv::Point2d a = square[side];
    const cv::Point2d b = square[(side + 1) % 4];
    const cv::Point2d along = (b - a) / 8.0;
    const cv::Point2d outward(along.y, -along.x);
    std::vector<cv::Point2d> points;
    std::vector<double> contrasts;
    for (int i = 0; i < kAcross; ++i) {
      const cv::Point2d on_edge = a + along * (8.0 * (0.1 + 0.8 * i / (kAcross - 1)));
      const cv::Point2d inside = Transform(*view, on_edge - outward * reach);
      const cv::Point2d outside = Transform(*view, on_edge + outward * reach);
      const auto crossing = FindCrossing(grey, inside, outside);
      if (!crossing) continue;
      points.push_back(inside + (outside - inside) * crossing->at);
      contrasts.push_back(crossing->contrast);
    }
    if (points.size() < 10) return std::nullopt;
    std::vector<double> sorted = contrasts;
    std::nth_element(sorted.begin(), sorted.begin() + static_cast<long>(sorted.size() / 2),
                     sorted.end());
    std::vector<cv::Point2d> kept;
    for (std::size_t i = 0; i < points.size(); ++i) {
      if (contrasts[i] > 0.5 * sorted[sorted.size() / 2]) kept.push_back(points[i]);
    }
    const auto line = FitLine(std::move(kept));
    if (!line) return std::nullopt;
    lines[side] = *line;
  }
  Corners corners;
  for (std::size_t i = 0; i < 4; ++i) {
    const auto corner = Meet(lines[(i + 3) % 4], lines[i]);
    if (!corner) return std::nullopt;
    corners[i] = *corner;
  }
  return corners;
}

}  // namespace

std::vector<Marker> DetectMarkers(const cv::Mat& grey, double shrink, int threads) {
  RIBWRIGHT_CHECK(grey.type() == CV_8UC1 && shrink >= 1.0 && threads >= 1);
  cv::Mat small = grey;
  if (shrink > 1.0) {
    cv::resize(grey, small,
               cv::Size(std::max(1, cvRound(grey.cols / shrink)),
                        std::max(1, cvRound(grey.rows / shrink))),
               0, 0, cv::INTER_AREA);
  }
  if (!small.isContinuous()) small = small.clone();
  const std::unique_ptr<apriltag_family_t, FamilyDeleter> family(tag36h11_create());
  const std::unique_ptr<apriltag_detector_t, DetectorDeleter> detector(apriltag_detector_create());
  apriltag_detector_add_family_bits(detector.get(), family.get(), 1);
  detector->nthreads = threads;
  detector->quad_decimate = 1.0F;
  detector->refine_edges = true;
  // A marker that can be decoded has edges of at least 20 pixels; smaller clutter is not worth a
  // fit.
  detector->qtp.min_cluster_pixels = 40;
  image_u8_t image = {small.cols, small.rows, static_cast<std::int32_t>(small.step), small.data};
  const std::unique_ptr<zarray_t, DetectionsDeleter> found(
      apriltag_detector_detect(detector.get(), &image));
  std::vector<Marker> markers;
  const double sx = static_cast<double>(grey.cols) / small.cols;
  const double sy = static_cast<double>(grey.rows) / small.rows;
  for (int i = 0; i < zarray_size(found.get()); ++i) {
    apriltag_detection_t* d = nullptr;
    zarray_get(found.get(), i, &d);
    if (!OnCard(d->id) || d->decision_margin < 15.0F) continue;
    Marker m;
    m.id = d->id;
    // The library counts from the lower left, round by the lower right.
    for (const auto& [own, theirs] : {std::pair{0, 3}, {1, 2}, {2, 1}, {3, 0}}) {
      m.corners[static_cast<std::size_t>(own)] = {d->p[theirs][0] * sx, d->p[theirs][1] * sy};
    }
    markers.push_back(m);
  }
  std::ranges::sort(markers, [](const Marker& a, const Marker& b) {
    return std::tuple(a.id, a.corners[0].x, a.corners[0].y) <
           std::tuple(b.id, b.corners[0].x, b.corners[0].y);
  });
  return markers;
}

std::optional<Corners> RefineCorners(const cv::Mat& grey, const Corners& rough) {
  std::optional<Corners> corners = rough;
  for (const double reach : {0.85, 0.6, 0.5, 0.5}) {
    if (corners) corners = RefineOnce(grey, *corners, reach);
  }
  return corners;
}

}  // namespace ribwright::photo
