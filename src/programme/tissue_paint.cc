// SPDX-License-Identifier: Apache-2.0
#include "programme/tissue_paint.h"

#include <array>
#include <cmath>
#include <cstdint>
#include <opencv2/core.hpp>

#include "base/check.h"
#include "programme/palette.h"

namespace ribwright::programme {
namespace {

// out = (in * keep + add) / 256 a channel.
struct Blend {
  std::uint32_t keep = 256;
  std::array<std::uint32_t, 3> add{};  // R, G, B
};

Blend BlendOf(const cv::Vec3b& rgb, double opacity) {
  const double paint = 256.0 * opacity;
  Blend b;
  b.keep = static_cast<std::uint32_t>(std::lround(256.0 - paint));
  for (std::size_t i = 0; i < 3; ++i) {
    b.add[i] = static_cast<std::uint32_t>(std::lround(paint * rgb[static_cast<int>(i)]));
  }
  return b;
}

constexpr double kOutsideLight = 0.55;   // of the photo's code values
constexpr double kBetweenStripes = 0.3;  // of the paint's opacity

struct Blends {
  std::array<Blend, 256> even;
  std::array<Blend, 256> odd;
};

Blends MakeBlends() {
  Blends b;
  b.even[0] = BlendOf({0, 0, 0}, 1.0 - kOutsideLight);
  b.odd[0] = b.even[0];
  for (const TissuePaint& paint : TissuePaints()) {
    const auto code = static_cast<std::size_t>(paint.tissue);
    const bool striped = paint.tissue == report::Tissue::kUnreadable;
    b.even[code] = BlendOf(paint.rgb, paint.opacity);
    b.odd[code] = BlendOf(paint.rgb, paint.opacity * (striped ? kBetweenStripes : 1.0));
  }
  return b;
}

}  // namespace

cv::Mat PaintTissue(const cv::Mat& rgb, const cv::Mat& tissue, int height, int stripe_px) {
  RIBWRIGHT_CHECK(rgb.type() == CV_8UC3 && tissue.type() == CV_8UC1);
  RIBWRIGHT_CHECK(rgb.size() == tissue.size() && height >= rgb.rows && stripe_px > 0);
  cv::Mat painted(height, rgb.cols, CV_8UC4);
  const Blends blends = MakeBlends();
  cv::parallel_for_(cv::Range(0, rgb.rows), [&](const cv::Range& rows) {
    for (int y = rows.start; y < rows.end; ++y) {
      const std::uint8_t* in = rgb.ptr(y);
      const std::uint8_t* code = tissue.ptr(y);
      std::uint8_t* out = painted.ptr(y);
      // Counts down to the next stripe instead of dividing at every pixel.
      int left = stripe_px - y % stripe_px;
      bool odd = ((y / stripe_px) & 1) != 0;
      for (int x = 0; x < rgb.cols; ++x, in += 3, out += 4) {
        const Blend& b = odd ? blends.odd[code[x]] : blends.even[code[x]];
        out[0] = static_cast<std::uint8_t>((in[2] * b.keep + b.add[2]) >> 8U);
        out[1] = static_cast<std::uint8_t>((in[1] * b.keep + b.add[1]) >> 8U);
        out[2] = static_cast<std::uint8_t>((in[0] * b.keep + b.add[0]) >> 8U);
        if (--left == 0) {
          left = stripe_px;
          odd = !odd;
        }
      }
    }
  });
  return painted;
}

cv::Mat PackRgb(const cv::Mat& bgrx) {
  RIBWRIGHT_CHECK(bgrx.type() == CV_8UC4 && bgrx.isContinuous());
  const std::size_t count = bgrx.total();
  std::uint8_t* bytes = bgrx.data;
  const std::uint8_t* in = bytes;
  std::uint8_t* out = bytes;
  // `out` never overtakes `in`.
  for (std::size_t i = 0; i < count; ++i, in += 4, out += 3) {
    const std::uint8_t b = in[0];
    const std::uint8_t g = in[1];
    const std::uint8_t r = in[2];
    out[0] = r;
    out[1] = g;
    out[2] = b;
  }
  return bgrx.reshape(1, 1).colRange(0, static_cast<int>(3 * count)).reshape(3, bgrx.rows);
}

}  // namespace ribwright::programme
