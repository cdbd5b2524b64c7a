// SPDX-License-Identifier: Apache-2.0
#include "photo/encode_indexed.h"

#include <png.h>

#include <csetjmp>
#include <opencv2/core.hpp>
#include <string>

#include "base/check.h"

namespace ribwright::photo {
namespace {

struct Sink {
  std::vector<std::uint8_t>* bytes = nullptr;
  std::string problem;
};

void OnError(png_structp png, png_const_charp text) {
  static_cast<Sink*>(png_get_error_ptr(png))->problem = text;
  longjmp(png_jmpbuf(png), 1);
}
void OnWarning(png_structp, png_const_charp) {}
void OnWrite(png_structp png, png_bytep data, std::size_t size) {
  auto* sink = static_cast<Sink*>(png_get_io_ptr(png));
  sink->bytes->insert(sink->bytes->end(), data, data + size);
}
void OnFlush(png_structp) {}

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
  std::vector<std::uint8_t> bytes;
  Sink sink{&bytes, {}};
  png_structp png = png_create_write_struct(PNG_LIBPNG_VER_STRING, &sink, OnError, OnWarning);
  png_infop info = png == nullptr ? nullptr : png_create_info_struct(png);
  bool done = false;
  if (info != nullptr) {
    png_set_write_fn(png, &sink, OnWrite, OnFlush);
    done = Write(png, info, indices, colours);
  }
  png_destroy_write_struct(&png, &info);
  if (!done) {
    return Fail(Code::kInternal, "The PNG encoder failed: " + sink.problem + ".",
                "EncodeIndexedPng", "Free some memory and try again.");
  }
  return bytes;
}

}  // namespace ribwright::photo
