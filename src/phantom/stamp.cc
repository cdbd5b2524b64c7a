// SPDX-License-Identifier: Apache-2.0
#include "phantom/stamp.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "report/tissue.h"

namespace ribwright::phantom {
namespace {

std::array<cv::Point2d, 4> Corners(const cv::Matx33d& map, cv::Size size) {
  std::array<cv::Point2d, 4> corners;
  const std::array<cv::Point2d, 4> at{{{0, 0},
                                       {1.0 * size.width, 0},
                                       {1.0 * size.width, 1.0 * size.height},
                                       {0, 1.0 * size.height}}};
  for (std::size_t i = 0; i < 4; ++i) {
    const cv::Vec3d v = map * cv::Vec3d(at[i].x, at[i].y, 1);
    corners[i] = {v[0] / v[2], v[1] / v[2]};
  }
  return corners;
}

// The columns that a convex figure may touch within a pixel of row y.
std::pair<int, int> Span(const std::array<cv::Point2d, 4>& figure, int y, int columns) {
  double low = 1e18;
  double high = -1e18;
  const auto take = [&](double x) {
    low = std::min(low, x);
    high = std::max(high, x);
  };
  for (std::size_t i = 0; i < 4; ++i) {
    const cv::Point2d a = figure[i];
    const cv::Point2d b = figure[(i + 1) % 4];
    if (std::abs(a.y - y) <= 1.5) take(a.x);
    for (const double at : {y - 1.5, y + 1.5}) {
      if ((a.y - at) * (b.y - at) < 0) take(a.x + (b.x - a.x) * (at - a.y) / (b.y - a.y));
    }
  }
  if (low > high) return {0, 0};
  return {static_cast<int>(std::clamp(std::floor(low) - 2.0, 0.0, 1.0 * columns)),
          static_cast<int>(std::clamp(std::ceil(high) + 3.0, 0.0, 1.0 * columns))};
}

struct Cell {  // four neighbours in a picture and their weights
  int x0 = 0, x1 = 0, y0 = 0, y1 = 0;
  float w00 = 0, w10 = 0, w01 = 0, w11 = 0;

  // False where all four lie outside; neighbours outside weigh nothing.
  bool Set(double sx, double sy, int columns, int rows) {
    const double fx = std::floor(sx);
    const double fy = std::floor(sy);
    if (!(fx >= -1.0 && fy >= -1.0 && fx < columns && fy < rows)) return false;
    x0 = static_cast<int>(fx);
    y0 = static_cast<int>(fy);
    x1 = x0 + 1;
    y1 = y0 + 1;
    const auto wx = static_cast<float>(sx - fx);
    const auto wy = static_cast<float>(sy - fy);
    w00 = (1 - wx) * (1 - wy), w10 = wx * (1 - wy), w01 = (1 - wx) * wy, w11 = wx * wy;
    if (x0 < 0) w00 = w01 = 0, x0 = 0;
    if (y0 < 0) w00 = w10 = 0, y0 = 0;
    if (x1 >= columns) w10 = w11 = 0, x1 = x0;
    if (y1 >= rows) w01 = w11 = 0, y1 = y0;
    return true;
  }
  int Byte(const cv::Mat& m) const {
    const std::uint8_t* a = m.ptr<std::uint8_t>(y0);
    const std::uint8_t* b = m.ptr<std::uint8_t>(y1);
    return static_cast<int>(w00 * a[x0] + w10 * a[x1] + w01 * b[x0] + w11 * b[x1] + 0.5F);
  }
  Pixel4 Colour(const cv::Mat& m) const {
    const Pixel4* a = m.ptr<Pixel4>(y0);
    const Pixel4* b = m.ptr<Pixel4>(y1);
    Pixel4 out;
    for (int k = 0; k < 4; ++k) {
      out[k] = static_cast<std::uint16_t>(w00 * a[x0][k] + w10 * a[x1][k] + w01 * b[x0][k] +
                                          w11 * b[x1][k] + 0.5F);
    }
    return out;
  }
};

report::Tissue TissueOf(int label, int fat) {
  using report::Tissue;
  if (label == kFat) return Tissue::kOtherFat;
  if (label == kBone) return Tissue::kBone;
  return fat >= 128 ? Tissue::kMuscleFat : Tissue::kLean;
}

}  // namespace

Pixel3 Over(const Pixel4& above, const Pixel3& below) {
  const int rest = static_cast<int>(kUnit) - above[3];
  Pixel3 out;
  for (int k = 0; k < 3; ++k) {
    out[k] = cv::saturate_cast<std::uint16_t>(above[k] + below[k] * rest / static_cast<int>(kUnit));
  }
  return out;
}

cv::Rect Landing(const cv::Matx33d& map, cv::Size texture, cv::Size photo) {
  double x0 = 1e18, y0 = 1e18, x1 = -1e18, y1 = -1e18;
  for (const cv::Point2d& p : Corners(map, texture)) {
    x0 = std::min(x0, p.x);
    x1 = std::max(x1, p.x);
    y0 = std::min(y0, p.y);
    y1 = std::max(y1, p.y);
  }
  const cv::Rect box(static_cast<int>(std::floor(x0)) - 1, static_cast<int>(std::floor(y0)) - 1,
                     static_cast<int>(std::ceil(x1 - x0)) + 3,
                     static_cast<int>(std::ceil(y1 - y0)) + 3);
  return box & cv::Rect({}, photo);
}

StampCount StampFace(const Surface& surface, const FaceRaster& face, const cv::Matx33d& map,
                     cv::Mat& canvas, Layers& layers) {
  StampCount count;
  const std::array<cv::Point2d, 4> figure = Corners(map, surface.look.size());
  const cv::Matx33d h = map.inv();
  const int columns = surface.look.cols;
  const int rows = surface.look.rows;
  const cv::Rect box = Landing(map, surface.look.size(), canvas.size());
  Cell cell;
  for (int y = box.y; y < box.y + box.height; ++y) {
    const auto [from, to] = Span(figure, y, canvas.cols);
    auto* light = canvas.ptr<Pixel3>(y);
    std::uint8_t* tissue = layers.tissue.ptr<std::uint8_t>(y);
    std::uint8_t* muscle = layers.muscle.ptr<std::uint8_t>(y);
    std::uint8_t* fat = layers.fat.ptr<std::uint8_t>(y);
    std::uint8_t* line = layers.line.ptr<std::uint8_t>(y);
    const double bx = h(0, 1) * y + h(0, 2);
    const double by = h(1, 1) * y + h(1, 2);
    const double bw = h(2, 1) * y + h(2, 2);
    for (int x = from; x < to; ++x) {
      const double inverse = 1.0 / (h(2, 0) * x + bw);
      const double sx = (h(0, 0) * x + bx) * inverse;
      const double sy = (h(1, 0) * x + by) * inverse;
      if (!cell.Set(sx, sy, columns, rows)) continue;
      const Pixel4 look = cell.Colour(surface.look);
      if (look[3] == 0) continue;
      light[x] = Over(look, light[x]);
      const int nx = static_cast<int>(std::floor(sx + 0.5));
      const int ny = static_cast<int>(std::floor(sy + 0.5));
      if (nx < 0 || ny < 0 || nx >= columns || ny >= rows) continue;
      const int label = surface.label.ptr<std::uint8_t>(ny)[nx];
      if (label == kOutside) continue;
      ++count.face;
      const int f = cell.Byte(surface.fat);
      report::Tissue t = TissueOf(label, f);
      if (cell.Byte(surface.glare) >= 128) {
        t = report::Tissue::kUnreadable;
        ++count.glare;
      }
      tissue[x] = static_cast<std::uint8_t>(t);
      muscle[x] =
          label < kFirstMuscle
              ? std::uint8_t{0}
              : static_cast<std::uint8_t>(
                    1 + static_cast<int>(
                            face.muscles[static_cast<std::size_t>(label - kFirstMuscle)].name));
      fat[x] = static_cast<std::uint8_t>(f);
      line[x] = static_cast<std::uint8_t>(cell.Byte(surface.line));
    }
  }
  return count;
}

}  // namespace ribwright::phantom
