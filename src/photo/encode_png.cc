// SPDX-License-Identifier: Apache-2.0
#include <png.h>

#include <utility>

#include "base/check.h"
#include "photo/encode.h"
#include "photo/png_sink.h"

namespace ribwright::photo {
namespace {

// Only plain data may live here: libpng leaves it by longjmp.
bool Write(png_structp png, png_infop info, const cv::Mat& picture) {
  if (setjmp(png_jmpbuf(png)) != 0) return false;
  const bool colour = picture.channels() == 3;
  png_set_IHDR(png, info, static_cast<png_uint_32>(picture.cols),
               static_cast<png_uint_32>(picture.rows), 8,
               colour ? PNG_COLOR_TYPE_RGB : PNG_COLOR_TYPE_GRAY, PNG_INTERLACE_NONE,
               PNG_COMPRESSION_TYPE_DEFAULT, PNG_FILTER_TYPE_DEFAULT);
  if (colour) png_set_sRGB(png, info, PNG_sRGB_INTENT_RELATIVE);
  png_set_compression_level(png, 1);
  // Labels repeat along a row and are best left as they are; photographs change smoothly.
  png_set_filter(png, PNG_FILTER_TYPE_BASE, colour ? PNG_FILTER_SUB : PNG_FILTER_NONE);
  png_write_info(png, info);
  for (int y = 0; y < picture.rows; ++y) png_write_row(png, picture.ptr(y));
  png_write_end(png, info);
  return true;
}

}  // namespace

Result<std::vector<std::uint8_t>> EncodePng(const cv::Mat& picture) {
  RIBWRIGHT_CHECK(!picture.empty());
  RIBWRIGHT_CHECK(picture.type() == CV_8UC1 || picture.type() == CV_8UC3);
  std::vector<std::uint8_t> bytes;
  bytes.reserve(picture.total() * picture.elemSize() / 4 + 1024);
  return png_sink::Encoded(std::move(bytes), "EncodePng", [&](png_structp png, png_infop info) {
    return Write(png, info, picture);
  });
}

}  // namespace ribwright::photo
