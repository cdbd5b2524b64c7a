// SPDX-License-Identifier: Apache-2.0
#include "phantom/warp.h"

#include <cmath>

#include "base/check.h"

namespace ribwright::phantom {
namespace {

int Mirrored(int i, int n) {
  if (n == 1) return 0;
  const int period = 2 * (n - 1);
  i = ((i % period) + period) % period;
  return i < n ? i : period - i;
}

template <int kChannels>
void WarpRows(const cv::Mat& texture, const cv::Matx33d& h, cv::Mat& out, Outside outside) {
  using Pixel = cv::Vec<std::uint16_t, kChannels>;
  const int w = texture.cols;
  const int n = texture.rows;
  for (int y = 0; y < out.rows; ++y) {
    Pixel* row = out.ptr<Pixel>(y);
    const double bx = h(0, 1) * y + h(0, 2);
    const double by = h(1, 1) * y + h(1, 2);
    const double bw = h(2, 1) * y + h(2, 2);
    for (int x = 0; x < out.cols; ++x) {
      const double inverse = 1.0 / (h(2, 0) * x + bw);
      const double sx = (h(0, 0) * x + bx) * inverse;
      const double sy = (h(1, 0) * x + by) * inverse;
      if (!(std::abs(sx) < 1e6 && std::abs(sy) < 1e6)) continue;  // at or behind the horizon
      const double fx = std::floor(sx);
      const double fy = std::floor(sy);
      int x0 = static_cast<int>(fx);
      int y0 = static_cast<int>(fy);
      int x1 = x0 + 1;
      int y1 = y0 + 1;
      const auto wx = static_cast<float>(sx - fx);
      const auto wy = static_cast<float>(sy - fy);
      float w00 = (1 - wx) * (1 - wy), w10 = wx * (1 - wy), w01 = (1 - wx) * wy, w11 = wx * wy;
      if (x0 < 0 || y0 < 0 || x1 >= w || y1 >= n) {
        if (outside == Outside::kEmpty) {
          if (x1 < 0 || y1 < 0 || x0 >= w || y0 >= n) continue;
          if (x0 < 0) w00 = w01 = 0, x0 = 0;
          if (y0 < 0) w00 = w10 = 0, y0 = 0;
          if (x1 >= w) w10 = w11 = 0, x1 = x0;
          if (y1 >= n) w01 = w11 = 0, y1 = y0;
        } else {
          x0 = Mirrored(x0, w), x1 = Mirrored(x1, w), y0 = Mirrored(y0, n), y1 = Mirrored(y1, n);
        }
      }
      const Pixel* a = texture.ptr<Pixel>(y0);
      const Pixel* b = texture.ptr<Pixel>(y1);
      for (int k = 0; k < kChannels; ++k) {
        row[x][k] = static_cast<std::uint16_t>(w00 * a[x0][k] + w10 * a[x1][k] + w01 * b[x0][k] +
                                               w11 * b[x1][k] + 0.5F);
      }
    }
  }
}

}  // namespace

cv::Mat WarpLinear(const cv::Mat& texture, const cv::Matx33d& texture_from_target, cv::Size target,
                   Outside outside) {
  RIBWRIGHT_CHECK(texture.type() == CV_16UC3 || texture.type() == CV_16UC4);
  cv::Mat out(target, texture.type(), cv::Scalar::all(0));
  if (texture.channels() == 3) {
    WarpRows<3>(texture, texture_from_target, out, outside);
  } else {
    WarpRows<4>(texture, texture_from_target, out, outside);
  }
  return out;
}

}  // namespace ribwright::phantom
