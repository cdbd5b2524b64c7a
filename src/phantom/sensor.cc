// SPDX-License-Identifier: Apache-2.0
#include "phantom/sensor.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <opencv2/imgproc.hpp>
#include <vector>

#include "math/rng.h"
#include "phantom/field.h"
#include "phantom/paint_colour.h"
#include "phantom/surface.h"

namespace ribwright::phantom {
namespace {

constexpr int kSteps = 8192;  // of the tone table over 0..1, then 0..kSteps clips

std::vector<float> ToneTable(double strength) {
  std::vector<float> table(kSteps + 1);
  for (int i = 0; i <= kSteps; ++i) {
    const double e = SrgbFromLinear(static_cast<double>(i) / kSteps);
    // Towards a smooth step: darker shadows, softer highlights.
    const double curve = e * e * (3.0 - 2.0 * e);
    table[static_cast<std::size_t>(i)] =
        static_cast<float>(255.0 * (e + 0.6 * strength * (curve - e)));
  }
  return table;
}

}  // namespace

cv::Mat Expose(cv::Mat& canvas, const Recipe& r, double exposure) {
  cv::GaussianBlur(canvas, canvas, {}, r.blur_sigma_px);
  const math::Rng root = math::Rng(r.seed).Fork(1100);
  // A tile of noise, read from a new place on every row; prime sides hide the repeat.
  constexpr int kTileRows = 509;
  constexpr int kTileCols = 4093;
  cv::Mat tile = SmoothField({kTileCols, kTileRows}, 1.0, root.Fork(1));
  cv::GaussianBlur(tile, tile, {}, 0.55);
  cv::Scalar mean, sd;
  cv::meanStdDev(tile, mean, sd);
  tile = (tile - mean[0]) / sd[0];
  const std::vector<float> tone = ToneTable(r.tone);
  const std::array<float, 3> gain{static_cast<float>(exposure * r.red_gain * kSteps / kUnit),
                                  static_cast<float>(exposure * kSteps / kUnit),
                                  static_cast<float>(exposure * r.blue_gain * kSteps / kUnit)};
  // Shot noise grows with the root of light; read noise is a floor.
  const auto shot =
      static_cast<float>(r.noise / std::sqrt(0.18) * std::sqrt(static_cast<double>(kSteps)));
  const auto floor = static_cast<float>(0.3 * r.noise * kSteps);
  math::Rng rows = root.Fork(2);
  std::array<std::uint32_t, 3> shift{};
  for (std::uint32_t& s : shift) s = rows.Below(kTileCols);
  cv::Mat rgb(canvas.size(), CV_8UC3);
  for (int y = 0; y < canvas.rows; ++y) {
    const auto* in = canvas.ptr<cv::Vec<std::uint16_t, 3>>(y);
    auto* out = rgb.ptr<cv::Vec3b>(y);
    std::array<const float*, 3> noise{};
    std::array<int, 3> at{};
    for (int k = 0; k < 3; ++k) {
      const auto c = static_cast<std::size_t>(k);
      noise[c] = tile.ptr<float>((y + 167 * k) % kTileRows);
      at[c] = static_cast<int>(
          (shift[c] + 911U * static_cast<std::uint32_t>((y + 167 * k) / kTileRows)) % kTileCols);
    }
    for (int x = 0; x < canvas.cols; ++x) {
      for (int k = 0; k < 3; ++k) {
        const auto c = static_cast<std::size_t>(k);
        float v = in[x][k] * gain[c];
        v += (shot * std::sqrt(v) + floor) * noise[c][at[c]];
        if (++at[c] == kTileCols) at[c] = 0;
        const int i = std::clamp(static_cast<int>(v + 0.5F), 0, kSteps);
        out[x][k] = static_cast<std::uint8_t>(tone[static_cast<std::size_t>(i)] + 0.5F);
      }
    }
  }
  if (r.denoise > 0.01) {
    cv::Mat smooth;
    cv::bilateralFilter(rgb, smooth, 5, 8.0 + 22.0 * r.denoise, 1.6);
    cv::addWeighted(rgb, 1.0 - r.denoise, smooth, r.denoise, 0.0, rgb);
  }
  if (r.sharpen > 0.01) {
    cv::Mat soft;
    cv::GaussianBlur(rgb, soft, {}, r.sharpen_sigma_px);
    cv::addWeighted(rgb, 1.0 + r.sharpen, soft, -r.sharpen, 0.0, rgb);
  }
  return rgb;
}

}  // namespace ribwright::phantom
