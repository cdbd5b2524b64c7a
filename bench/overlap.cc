// SPDX-License-Identifier: Apache-2.0
#include "overlap.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <opencv2/imgproc.hpp>

namespace ribwright::bench {
namespace {

struct Frame {
  double x = 0.0;
  double y = 0.0;
  double scale = 1.0;  // grid pixels a unit
  cv::Size size;
};

struct Box {
  double x0 = std::numeric_limits<double>::infinity();
  double y0 = std::numeric_limits<double>::infinity();
  double x1 = -std::numeric_limits<double>::infinity();
  double y1 = -std::numeric_limits<double>::infinity();
  void Add(const report::Outline& outline) {
    for (const auto& ring : outline) {
      for (const auto& p : ring) {
        x0 = std::min(x0, p.x);
        y0 = std::min(y0, p.y);
        x1 = std::max(x1, p.x);
        y1 = std::max(y1, p.y);
      }
    }
  }
  bool Empty() const { return !(x1 > x0 && y1 > y0); }
};

Frame FrameOf(const Box& box, double scale) {
  Frame frame;
  frame.scale = scale;
  frame.x = box.x0 - 2.0 / scale;
  frame.y = box.y0 - 2.0 / scale;
  frame.size = cv::Size(static_cast<int>(std::ceil((box.x1 - box.x0) * scale)) + 4,
                        static_cast<int>(std::ceil((box.y1 - box.y0) * scale)) + 4);
  return frame;
}

cv::Mat Fill(const report::Outline& outline, const Frame& frame) {
  constexpr int kShift = 6;
  constexpr double kOne = 1 << kShift;
  std::vector<std::vector<cv::Point>> rings;
  for (const auto& ring : outline) {
    std::vector<cv::Point> points;
    points.reserve(ring.size());
    for (const auto& p : ring) {
      // OpenCV's pixel centres are whole numbers, ours halves.
      points.emplace_back(
          static_cast<int>(std::lround(((p.x - frame.x) * frame.scale - 0.5) * kOne)),
          static_cast<int>(std::lround(((p.y - frame.y) * frame.scale - 0.5) * kOne)));
    }
    if (points.size() >= 3) rings.push_back(std::move(points));
  }
  cv::Mat mask(frame.size, CV_8U, cv::Scalar(0));
  if (!rings.empty()) cv::fillPoly(mask, rings, cv::Scalar(255), cv::LINE_8, kShift);
  return mask;
}

}  // namespace

double Iou(const report::Outline& first, const report::Outline& second) {
  Box box;
  box.Add(first);
  box.Add(second);
  if (box.Empty()) return 0.0;
  const double area = (box.x1 - box.x0) * (box.y1 - box.y0);
  const Frame frame = FrameOf(box, std::min(1.0, std::sqrt(1e6 / area)));
  const cv::Mat a = Fill(first, frame);
  const cv::Mat b = Fill(second, frame);
  const int either = cv::countNonZero(a | b);
  return either == 0 ? 0.0 : static_cast<double>(cv::countNonZero(a & b)) / either;
}

cv::Mat MaskOf(const report::Outline& outline, cv::Size photo) {
  return Fill(outline, {0.0, 0.0, 1.0, photo});
}

double ThickestMm(const report::Outline& outline, const cv::Matx33d& px_from_mm) {
  const cv::Matx33d mm_from_px = px_from_mm.inv();
  report::Outline mm;
  for (const auto& ring : outline) {
    report::Ring& to = mm.emplace_back();
    for (const auto& p : ring) {
      const cv::Vec3d v = mm_from_px * cv::Vec3d(p.x, p.y, 1.0);
      to.push_back({v[0] / v[2], v[1] / v[2]});
    }
  }
  Box box;
  box.Add(mm);
  if (box.Empty()) return 0.0;
  constexpr double kPxPerMm = 5.0;
  const cv::Mat mask = Fill(mm, FrameOf(box, kPxPerMm));
  cv::Mat distance;
  cv::distanceTransform(mask, distance, cv::DIST_L2, cv::DIST_MASK_PRECISE);
  double most = 0.0;
  cv::minMaxLoc(distance, nullptr, &most);
  // The fill takes in the pixels of the edge itself, and distances end at a pixel's centre.
  return std::max(0.0, 2.0 * most - 2.0) / kPxPerMm;
}

}  // namespace ribwright::bench
