// SPDX-License-Identifier: Apache-2.0
#include "face/outline.h"

#include <cmath>
#include <opencv2/imgproc.hpp>

namespace ribwright::face {

report::Outline OutlineOf(const cv::Mat& mask, const Canvas& canvas) {
  // Rings run through border pixels' centres; doubling first puts them within a quarter pixel of
  // the edge.
  std::vector<std::vector<cv::Point>> rings;
  report::Outline outline;
  const cv::Rect box = cv::boundingRect(mask);
  if (box.empty()) return outline;
  cv::Mat large;
  cv::resize(mask(box), large, cv::Size(), 2, 2, cv::INTER_NEAREST);
  cv::findContours(large, rings, cv::RETR_CCOMP, cv::CHAIN_APPROX_NONE, 2 * box.tl());
  for (const auto& ring : rings) {
    if (ring.size() < 8) continue;
    std::vector<cv::Point> thin;
    cv::approxPolyDP(ring, thin, 1.0, true);
    if (thin.size() < 3) continue;
    report::Ring out;
    for (const cv::Point& p : thin) {
      const cv::Point2d q = Through(canvas.photo_from_canvas, (p.x + 0.5) / 2.0, (p.y + 0.5) / 2.0);
      out.push_back({q.x, q.y});
    }
    outline.push_back(std::move(out));
  }
  return outline;
}

cv::Mat MaskOf(const report::Outline& outline, const Canvas& canvas) {
  cv::Mat mask = cv::Mat::zeros(canvas.rgb.size(), CV_8U);
  std::vector<std::vector<cv::Point>> rings;
  constexpr int kShift = 4;
  for (const auto& ring : outline) {
    std::vector<cv::Point> points;
    for (const auto& p : ring) {
      const cv::Point2d q = Through(canvas.canvas_from_photo, p.x, p.y);
      points.emplace_back(int(std::lround((q.x - 0.5) * (1 << kShift))),
                          int(std::lround((q.y - 0.5) * (1 << kShift))));
    }
    rings.push_back(std::move(points));
  }
  if (!rings.empty()) cv::fillPoly(mask, rings, cv::Scalar(255), cv::LINE_8, kShift);
  return mask;
}

}  // namespace ribwright::face
