// SPDX-License-Identifier: Apache-2.0
#include "photo/encode_indexed.h"

#include <png.h>

#include <opencv2/core.hpp>

#include "base/check.h"
#include "photo/png_sink.h"

namespace ribwright::photo {
namespace {

struct Colours {
  std::array<png_color, 256> rgb;
  std::array<png_byte, 256> opacity;
  int count = 0;
};

// Only plain data may live here: libpng leaves it by longjmp.
bool Write(png_structp png, png_infop info, const cv::Mat& indices, const Colours& colours) {
  if (setjmp(png_jmpbuf(png)) != 0) return false;
  png_set_IHDR(png, info, static_cast<png_uint_32>(indices.cols),
               static_cast<png_uint_32>(indices.rows), 8, PNG_COLOR_TYPE_PALETTE,
               PNG_INTERLACE_NONE, PNG_COMPRESSION_TYPE_DEFAULT, PNG_FILTER_TYPE_DEFAULT);
  png_set_sRGB(png, info, PNG_sRGB_INTENT_RELATIVE);
  png_set_PLTE(png, info, colours.rgb.data(), colours.count);
  png_set_tRNS(png, info, colours.opacity.data(), colours.count, nullptr);
  png_set_compression_level(png, 1);
  png_set_filter(png, PNG_FILTER_TYPE_BASE, PNG_FILTER_NONE);
  png_write_info(png, info);
  for (int y = 0; y < indices.rows; ++y) png_write_row(png, indices.ptr(y));
  png_write_end(png, info);
  return true;
}

}  // namespace

Result<std::vector<std::uint8_t>> EncodeIndexedPng(const cv::Mat& indices,
                                                   std::span<const PaletteEntry> palette) {
  RIBWRIGHT_CHECK(!indices.empty() && indices.type() == CV_8UC1);
  RIBWRIGHT_CHECK(!palette.empty() && palette.size() <= 256);
  double most = 0.0;
  cv::minMaxLoc(indices, nullptr, &most);
  RIBWRIGHT_CHECK(most < static_cast<double>(palette.size()));
  Colours colours;
  for (const PaletteEntry& entry : palette) {
    const auto at = static_cast<std::size_t>(colours.count++);
    colours.rgb[at] = {entry.rgb[0], entry.rgb[1], entry.rgb[2]};
    colours.opacity[at] = entry.opacity;
  }
  return png_sink::Encoded({}, "EncodeIndexedPng", [&](png_structp png, png_infop info) {
    return Write(png, info, indices, colours);
  });
}

}  // namespace ribwright::photo
