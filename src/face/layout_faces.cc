// SPDX-License-Identifier: Apache-2.0
#include "face/layout_faces.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <opencv2/imgproc.hpp>
#include <utility>

#include "face/layout_map.h"
#include "face/morphology.h"

namespace ribwright::face {
namespace {

constexpr int kLookSide = 384;             // of the whole photo's map
constexpr double kLeastFaceShare = 0.004;  // of the photo; assumed: smaller patches are not faces
constexpr double kLeastOfLargest = 0.12;   // assumed
constexpr double kMargin = 0.10;           // of a face's box, seen round it; assumed
constexpr double kLeastMuscle = 0.004;     // of the face; assumed
constexpr double kLookPixels = 5e5;        // of the second look; finer is beyond the network

// The piece of `mask` with the largest share in `near`.
cv::Mat BestPiece(const cv::Mat& mask, const cv::Mat& near) {
  cv::Mat labels;
  const int n = cv::connectedComponents(mask, labels, 8, CV_32S);
  std::vector<int> count(static_cast<std::size_t>(n), 0);
  for (int y = 0; y < mask.rows; ++y) {
    const int* l = labels.ptr<int>(y);
    const auto* m = near.ptr<std::uint8_t>(y);
    for (int x = 0; x < mask.cols; ++x) {
      if (l[x] > 0 && m[x]) ++count[static_cast<std::size_t>(l[x])];
    }
  }
  if (n < 2) return cv::Mat::zeros(mask.size(), CV_8U);
  const auto best = std::max_element(count.begin() + 1, count.end()) - count.begin();
  if (count[static_cast<std::size_t>(best)] == 0) return cv::Mat::zeros(mask.size(), CV_8U);
  return labels == static_cast<int>(best);
}

// The grid of the second look for a canvas.
cv::Size LookSize(cv::Size canvas) {
  const double s = std::min(1.0, std::sqrt(kLookPixels / static_cast<double>(canvas.area())));
  return {std::max(8, static_cast<int>(std::lround(canvas.width * s))),
          std::max(8, static_cast<int>(std::lround(canvas.height * s)))};
}

cv::Mat Fitted(const cv::Mat& mask, cv::Size size) {
  if (mask.size() == size) return mask.clone();
  cv::Mat out;
  cv::resize(mask, out, size, 0, 0, cv::INTER_LINEAR);
  return out > 127;
}

// Muscles and bone found on the look's grid, brought to the canvas.
void Fill(LayoutFace& face, const cv::Mat& kind, const cv::Mat& mask, cv::Size canvas) {
  face.mask = Fitted(mask, canvas);
  face.bone = Fitted((kind == kLayoutBone) & mask, canvas) & face.mask;
  const MuscleMap found = MusclesOf(kind, mask);
  face.muscles.labels = cv::Mat::zeros(canvas, CV_32S);
  face.muscles.eye_certain = found.eye_certain;
  for (const MuscleRegion& region : found.regions) {
    MuscleRegion own;
    own.name = region.name;
    own.mask = Fitted(region.mask, canvas) & face.mask & (face.muscles.labels == 0);
    own.area_px = cv::countNonZero(own.mask);
    if (own.area_px < 10) continue;
    face.muscles.regions.push_back(own);
    face.muscles.labels.setTo(static_cast<int>(face.muscles.regions.size()), own.mask);
  }
  face.bone.setTo(0, face.muscles.labels > 0);
}

}  // namespace

MeatMask FindFaces(const cv::Mat& rgb, const cv::Mat& ignore) {
  MeatMask result;
  const double s = std::min(1.0, static_cast<double>(kLookSide) / std::max(rgb.cols, rgb.rows));
  result.small_from_photo = s;
  const cv::Size size(std::max(8, static_cast<int>(std::lround(rgb.cols * s))),
                      std::max(8, static_cast<int>(std::lround(rgb.rows * s))));
  const LayoutMap layout = MapLayout(rgb, size);
  cv::Mat inside = layout.kind > 0;
  if (!ignore.empty()) {
    cv::Mat barred;
    cv::resize(ignore, barred, size, 0, 0, cv::INTER_NEAREST);
    inside.setTo(0, barred);
  }
  result.mask = cv::Mat::zeros(size, CV_8U);
  result.labels = cv::Mat::zeros(size, CV_32S);
  // Faces that touch part along their rims; each core then grows back to the edge.
  cv::Mat core = inside & ~layout.rim;
  cv::morphologyEx(core, core, cv::MORPH_OPEN, Ellipse(1));
  cv::Mat labels;
  cv::Mat stats;
  cv::Mat centres;
  const int n = cv::connectedComponentsWithStats(core, labels, stats, centres, 4, CV_32S);
  int largest = 0;
  for (int i = 1; i < n; ++i) largest = std::max(largest, stats.at<int>(i, cv::CC_STAT_AREA));
  std::vector<std::pair<int, int>> order;
  for (int i = 1; i < n; ++i) {
    const int area = stats.at<int>(i, cv::CC_STAT_AREA);
    if (area < kLeastFaceShare * static_cast<double>(inside.total())) continue;
    if (area < kLeastOfLargest * largest) continue;
    int lean = 0;
    const cv::Rect box(stats.at<int>(i, cv::CC_STAT_LEFT), stats.at<int>(i, cv::CC_STAT_TOP),
                       stats.at<int>(i, cv::CC_STAT_WIDTH), stats.at<int>(i, cv::CC_STAT_HEIGHT));
    for (int y = box.y; y < box.y + box.height; ++y) {
      for (int x = box.x; x < box.x + box.width; ++x) {
        if (labels.at<int>(y, x) == i && IsMuscle(layout.kind.at<std::uint8_t>(y, x))) ++lean;
      }
    }
    if (lean < 0.2 * area) continue;  // fat alone is no cut face
    order.emplace_back(area, i);
  }
  std::sort(order.rbegin(), order.rend());
  cv::Mat seeds = cv::Mat::zeros(size, CV_32S);
  for (std::size_t k = 0; k < order.size(); ++k) {
    seeds.setTo(static_cast<int>(k) + 1, labels == order[k].second);
  }
  // Growth by distance, inside the map's meat only.
  constexpr int kRounds = 8;
  for (int round = 0; round < kRounds; ++round) {
    cv::Mat grown = seeds.clone();
    for (int y = 0; y < size.height; ++y) {
      for (int x = 0; x < size.width; ++x) {
        if (seeds.at<int>(y, x) || !inside.at<std::uint8_t>(y, x)) continue;
        for (const auto& [dx, dy] :
             std::array<std::pair<int, int>, 4>{{{-1, 0}, {1, 0}, {0, -1}, {0, 1}}}) {
          const int u = x + dx;
          const int v = y + dy;
          if (u < 0 || v < 0 || u >= size.width || v >= size.height) continue;
          if (seeds.at<int>(v, u)) {
            grown.at<int>(y, x) = seeds.at<int>(v, u);
            break;
          }
        }
      }
    }
    seeds = grown;
  }
  cv::Mat ground = inside == 0;
  if (cv::countNonZero(ground) > 50) {
    cv::Mat small;
    cv::resize(rgb, small, size, 0, 0, cv::INTER_AREA);
    cv::erode(ground, ground, Ellipse(4));
    const cv::Scalar mean = cv::mean(small, ground);
    result.white_ground = mean[0] > 190 && mean[1] > 185 && mean[2] > 175;
  }
  for (std::size_t k = 0; k < order.size(); ++k) {
    cv::Mat piece = seeds == static_cast<int>(k) + 1;
    FillHoles(piece);
    cv::Mat points;
    cv::findNonZero(piece, points);
    const cv::Rect r = cv::boundingRect(points);
    MeatRegion region;
    region.touches_edge =
        r.x <= 0 || r.y <= 0 || r.x + r.width >= size.width || r.y + r.height >= size.height;
    const double mx = kMargin * r.width + 2;
    const double my = kMargin * r.height + 2;
    const int x0 = std::max(0, static_cast<int>(std::floor((r.x - mx) / s)));
    const int y0 = std::max(0, static_cast<int>(std::floor((r.y - my) / s)));
    const int x1 = std::min(rgb.cols, static_cast<int>(std::ceil((r.x + r.width + mx) / s)));
    const int y1 = std::min(rgb.rows, static_cast<int>(std::ceil((r.y + r.height + my) / s)));
    region.box = cv::Rect(x0, y0, x1 - x0, y1 - y0);
    region.share = cv::countNonZero(piece) / static_cast<double>(piece.total());
    result.mask.setTo(255, piece);
    result.labels.setTo(static_cast<int>(k) + 1, piece);
    result.regions.push_back(region);
  }
  result.lean_share = cv::countNonZero(result.mask) / static_cast<double>(result.mask.total());
  return result;
}

MuscleMap MusclesOf(const cv::Mat& kind, const cv::Mat& mask) {
  MuscleMap map;
  map.labels = cv::Mat::zeros(kind.size(), CV_32S);
  const double face = std::max(1, cv::countNonZero(mask));
  cv::Mat named = kind.clone();
  named.setTo(0, mask == 0);
  // One muscle is one piece of meat: in each piece the lesser of two names that share the place of
  // the eye, and every name that is a sliver of its piece, gives way to the greater.
  cv::Mat meat(kind.size(), CV_8U);
  cv::inRange(named, cv::Scalar(1), cv::Scalar(7), meat);
  cv::Mat labels;
  cv::Mat stats;
  cv::Mat centres;
  const int n = cv::connectedComponentsWithStats(meat, labels, stats, centres, 4, CV_32S);
  std::vector<std::array<int, 10>> counts(static_cast<std::size_t>(n));
  for (auto& c : counts) c.fill(0);
  for (int y = 0; y < kind.rows; ++y) {
    const int* l = labels.ptr<int>(y);
    const auto* k = named.ptr<std::uint8_t>(y);
    for (int x = 0; x < kind.cols; ++x) {
      if (l[x] > 0) ++counts[static_cast<std::size_t>(l[x])][k[x]];
    }
  }
  constexpr int kEye = LayoutOf(report::MuscleName::kLongissimus);
  constexpr int kRump = LayoutOf(report::MuscleName::kGluteusMedius);
  std::vector<std::array<std::uint8_t, 10>> become(static_cast<std::size_t>(n));
  for (std::size_t i = 1; i < counts.size(); ++i) {
    const auto& c = counts[i];
    const auto most = static_cast<std::uint8_t>(std::max_element(c.begin(), c.end()) - c.begin());
    const int area = stats.at<int>(static_cast<int>(i), cv::CC_STAT_AREA);
    for (std::uint8_t k = 0; k < 10; ++k) {
      become[i][k] = k;
      if (k != most && c[k] > 0 && c[k] < 0.06 * area) become[i][k] = most;
    }
    if (c[kEye] > 0 && c[kRump] > 0) {
      const auto greater = static_cast<std::uint8_t>(c[kEye] >= c[kRump] ? kEye : kRump);
      become[i][kEye] = greater;
      become[i][kRump] = greater;
    }
    if (area < kLeastMuscle * face) become[i].fill(0);
  }
  for (int y = 0; y < kind.rows; ++y) {
    const int* l = labels.ptr<int>(y);
    auto* k = named.ptr<std::uint8_t>(y);
    for (int x = 0; x < kind.cols; ++x) {
      k[x] = l[x] > 0 ? become[static_cast<std::size_t>(l[x])][k[x]] : std::uint8_t{0};
    }
  }
  struct Found {
    report::MuscleName name;
    cv::Mat mask;
    int area;
  };
  std::vector<Found> found;
  for (int code = 1; code <= 7; ++code) {
    const auto name = static_cast<report::MuscleName>(code - 1);
    cv::Mat own = named == code;
    const int pieces = cv::connectedComponentsWithStats(own, labels, stats, centres, 8, CV_32S);
    int largest = 0;
    for (int i = 1; i < pieces; ++i) {
      largest = std::max(largest, stats.at<int>(i, cv::CC_STAT_AREA));
    }
    cv::Mat together = cv::Mat::zeros(kind.size(), CV_8U);
    for (int i = 1; i < pieces; ++i) {
      const int area = stats.at<int>(i, cv::CC_STAT_AREA);
      if (area < kLeastMuscle * face) continue;
      cv::Mat piece = labels == i;
      FillHoles(piece);
      if (name == report::MuscleName::kOther) {
        found.push_back({name, piece, cv::countNonZero(piece)});
      } else if (area >= 0.15 * largest) {
        together |= piece;
      }
    }
    const int area = cv::countNonZero(together);
    if (area > 0) found.push_back({name, together, area});
  }
  std::stable_sort(found.begin(), found.end(),
                   [](const auto& a, const auto& b) { return a.area > b.area; });
  // The eye leads: the larger of longissimus and gluteus medius.
  const auto eye = std::find_if(found.begin(), found.end(), [](const Found& f) {
    return f.name == report::MuscleName::kLongissimus ||
           f.name == report::MuscleName::kGluteusMedius;
  });
  if (eye != found.end()) std::rotate(found.begin(), eye, eye + 1);
  map.eye_certain = eye != found.end() && !found.empty() && found.front().area > 0.15 * face;
  for (Found& f : found) {
    MuscleRegion region;
    region.name = f.name;
    region.mask = f.mask & mask & (map.labels == 0);
    region.area_px = cv::countNonZero(region.mask);
    if (region.area_px < 10) continue;
    map.regions.push_back(region);
    map.labels.setTo(static_cast<int>(map.regions.size()), region.mask);
  }
  return map;
}

LayoutFace LookAtFace(const Canvas& canvas, const cv::Mat& near, const cv::Mat& others) {
  LayoutFace face;
  const cv::Size size = LookSize(canvas.rgb.size());
  const LayoutMap layout = MapLayout(canvas.rgb, size);
  cv::Mat barred;
  cv::resize(canvas.ignore | others, barred, size, 0, 0, cv::INTER_NEAREST);
  cv::Mat seen;
  cv::resize(near, seen, size, 0, 0, cv::INTER_NEAREST);
  const double width = std::sqrt(std::max(1, cv::countNonZero(seen)));
  cv::Mat wide;
  cv::dilate(seen, wide, Ellipse(0.02 * width));  // the first look is that coarse
  const cv::Mat inside = (layout.kind > 0) & wide & ~barred;
  cv::Mat mask = BestPiece(inside, seen);
  FillHoles(mask);
  mask.setTo(0, barred);
  Fill(face, layout.kind, mask, canvas.rgb.size());
  return face;
}

LayoutFace LookInside(const Canvas& canvas, const cv::Mat& mask) {
  LayoutFace face;
  const cv::Size size = LookSize(canvas.rgb.size());
  cv::Mat small;
  cv::resize(mask, small, size, 0, 0, cv::INTER_NEAREST);
  Fill(face, MapLayout(canvas.rgb, size).kind, small, canvas.rgb.size());
  face.mask = mask.clone();
  return face;
}

}  // namespace ribwright::face
