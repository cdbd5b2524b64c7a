// SPDX-License-Identifier: Apache-2.0
#include "phantom/stroke.h"

#include <algorithm>
#include <cmath>

namespace ribwright::phantom {

bool Brush::OnLabel(cv::Point2d p) const {
  const int x = static_cast<int>(std::floor(p.x));
  const int y = static_cast<int>(std::floor(p.y));
  return x >= 0 && y >= 0 && x < label_.cols && y < label_.rows &&
         label_.at<std::uint8_t>(y, x) == only_;
}

void Brush::Capsule(cv::Point2d p0, double r0, cv::Point2d p1, double r1) {
  const double reach = std::max({r0, r1, 0.5}) + 1.0;
  const int x0 = std::max(0, static_cast<int>(std::floor(std::min(p0.x, p1.x) - reach)));
  const int x1 =
      std::min(layer_.cols - 1, static_cast<int>(std::floor(std::max(p0.x, p1.x) + reach)));
  const int y0 = std::max(0, static_cast<int>(std::floor(std::min(p0.y, p1.y) - reach)));
  const int y1 =
      std::min(layer_.rows - 1, static_cast<int>(std::floor(std::max(p0.y, p1.y) + reach)));
  const cv::Point2d d = p1 - p0;
  const double length2 = std::max(d.dot(d), 1e-9);
  for (int y = y0; y <= y1; ++y) {
    std::uint8_t* row = layer_.ptr<std::uint8_t>(y);
    const std::uint8_t* label = label_.ptr<std::uint8_t>(y);
    for (int x = x0; x <= x1; ++x) {
      if (label[x] != only_ || row[x] == 255) continue;
      const cv::Point2d q(x + 0.5 - p0.x, y + 0.5 - p0.y);
      const double t = std::clamp(q.dot(d) / length2, 0.0, 1.0);
      const double r = r0 + (r1 - r0) * t;
      const cv::Point2d away = q - t * d;
      const double thick = std::max(r, 0.5);
      const double cover =
          std::min(1.0, thick - std::sqrt(away.dot(away)) + 0.5) * std::min(1.0, r / 0.5);
      if (cover <= 0.0) continue;
      const int value = static_cast<int>(cover * 255.0 + 0.5);
      if (value > row[x]) {
        painted_ += value - row[x];
        row[x] = static_cast<std::uint8_t>(value);
      }
    }
  }
}

}  // namespace ribwright::phantom
