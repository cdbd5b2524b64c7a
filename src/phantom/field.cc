// SPDX-License-Identifier: Apache-2.0
#include "phantom/field.h"

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "base/check.h"

namespace ribwright::phantom {
namespace {

void FillNormal(cv::Mat& grid, math::Rng rng) {
  // Sum of four uniforms, scaled to unit variance: near enough to a normal here and far cheaper.
  for (int y = 0; y < grid.rows; ++y) {
    float* row = grid.ptr<float>(y);
    for (int x = 0; x < grid.cols; ++x) {
      const std::uint32_t a = rng.Next();
      const std::uint32_t b = rng.Next();
      const double sum = (a & 0xffffU) + (a >> 16U) + (b & 0xffffU) + (b >> 16U);
      row[x] = static_cast<float>((sum / 65536.0 - 2.0) * 1.7320508);
    }
  }
}

cv::Mat Enlarge(cv::Size size, double pitch_x, double pitch_y, math::Rng rng) {
  const cv::Size grid_size(static_cast<int>(std::ceil(size.width / pitch_x)) + 4,
                           static_cast<int>(std::ceil(size.height / pitch_y)) + 4);
  cv::Mat grid(grid_size, CV_32F);
  FillNormal(grid, rng);
  if (pitch_x <= 1.0 && pitch_y <= 1.0) return grid(cv::Rect(cv::Point(1, 1), size));
  // Cubic to about a fifth of the pitch, linear from there: looks the same, costs a third.
  const double first_x = pitch_x > 10.0 ? pitch_x / 5.0 : 1.0;
  const double first_y = pitch_y > 10.0 ? pitch_y / 5.0 : 1.0;
  cv::Mat big = grid;
  if (first_x > 1.0 || first_y > 1.0) {
    cv::resize(grid, big, {}, pitch_x / first_x, pitch_y / first_y, cv::INTER_CUBIC);
    cv::resize(cv::Mat(big), big, {}, first_x, first_y, cv::INTER_LINEAR);
  } else {
    cv::resize(grid, big, {}, pitch_x, pitch_y,
               std::max(pitch_x, pitch_y) < 2.5 ? cv::INTER_LINEAR : cv::INTER_CUBIC);
  }
  const int x = std::min(static_cast<int>(pitch_x * 1.5), big.cols - size.width);
  const int y = std::min(static_cast<int>(pitch_y * 1.5), big.rows - size.height);
  return big(cv::Rect(cv::Point(x, y), size));
}

}  // namespace

cv::Mat SmoothField(cv::Size size, double pitch_px, math::Rng rng) {
  RIBWRIGHT_CHECK(size.width > 0 && size.height > 0);
  const double pitch = std::max(pitch_px, 1.0);
  return Enlarge(size, pitch, pitch, rng);
}

cv::Mat StretchedField(cv::Size size, double along_px, double across_px, double angle,
                       math::Rng rng) {
  // Drawn as coarse as its finest detail allows, enlarged while it is turned.
  const double coarse = std::max(1.0, across_px / 2.5);
  const int side = static_cast<int>(std::ceil(std::hypot(size.width, size.height) / coarse)) + 4;
  const cv::Mat straight = Enlarge({side, side}, std::max(along_px / coarse, 1.0),
                                   std::max(across_px / coarse, 1.0), rng);
  const double c = std::cos(angle) / coarse;
  const double s = std::sin(angle) / coarse;
  const double half = 0.5 * side;
  // Destination to source: rotate about the middle.
  const cv::Matx23d source_from_target(c, s, half - c * size.width / 2 - s * size.height / 2, -s, c,
                                       half + s * size.width / 2 - c * size.height / 2);
  cv::Mat turned;
  cv::warpAffine(straight, turned, source_from_target, size,
                 cv::INTER_LINEAR | cv::WARP_INVERSE_MAP, cv::BORDER_REFLECT);
  return turned;
}

cv::Mat OctaveField(cv::Size size, double pitch_px, int octaves, double fall, math::Rng rng) {
  cv::Mat sum = SmoothField(size, pitch_px, rng.Fork(0));
  double strength = 1.0;
  for (int i = 1; i < octaves; ++i) {
    strength *= fall;
    pitch_px /= 2.0;
    const cv::Mat next = SmoothField(size, pitch_px, rng.Fork(static_cast<std::uint64_t>(i)));
    cv::scaleAdd(next, strength, sum, sum);
  }
  return sum;
}

cv::Size CoarseSize(cv::Size fine, double step) {
  return {static_cast<int>(std::ceil(fine.width / step)) + 2,
          static_cast<int>(std::ceil(fine.height / step)) + 2};
}

SlowRows::SlowRows(cv::Mat coarse, double step, cv::Size fine, cv::Point2d offset)
    : coarse_(std::move(coarse)),
      step_(step),
      offset_(offset),
      mixed_(static_cast<std::size_t>(coarse_.cols)),
      row_(static_cast<std::size_t>(fine.width)) {
  RIBWRIGHT_CHECK(coarse_.type() == CV_32F && step > 0.0 && coarse_.cols > 1 && coarse_.rows > 1);
}

const float* SlowRows::Row(int y) {
  const auto inverse = static_cast<float>(1.0 / step_);
  const float fy = std::clamp(static_cast<float>(y) * inverse + static_cast<float>(offset_.y), 0.0F,
                              static_cast<float>(coarse_.rows) - 1.001F);
  const int y0 = static_cast<int>(fy);
  const float wy = fy - static_cast<float>(y0);
  const float* a = coarse_.ptr<float>(y0);
  const float* b = coarse_.ptr<float>(y0 + 1);
  for (std::size_t i = 0; i < mixed_.size(); ++i) mixed_[i] = a[i] + wy * (b[i] - a[i]);
  const float last = static_cast<float>(coarse_.cols) - 1.001F;
  const auto from = static_cast<float>(offset_.x);
  for (std::size_t x = 0; x < row_.size(); ++x) {
    const float fx = std::clamp(static_cast<float>(x) * inverse + from, 0.0F, last);
    const int x0 = static_cast<int>(fx);
    const float* m = mixed_.data() + x0;
    row_[x] = m[0] + (fx - static_cast<float>(x0)) * (m[1] - m[0]);
  }
  return row_.data();
}

}  // namespace ribwright::phantom
