// SPDX-License-Identifier: Apache-2.0
// A PNG writer for tests: every colour type, side chunks good and bad. Faults in its use abort the
// test program.
#pragma once

#include <png.h>

#include <algorithm>
#include <cstdint>
#include <functional>
#include <span>
#include <string>
#include <utility>
#include <vector>

namespace ribwright::photo::testing {

using Bytes = std::vector<std::uint8_t>;

struct TestPng {
  std::uint32_t width = 0;
  std::uint32_t height = 0;
  int depth = 8;
  int colour_type = PNG_COLOR_TYPE_RGB;
  bool interlaced = false;
  Bytes rows;  // as PNG stores them: packed bits, big-endian samples
  std::function<void(png_structp, png_infop)> set_up = nullptr;
  std::vector<std::pair<std::string, Bytes>> chunks = {};  // written before the pixels, as they are
};

inline Bytes WriteTestPng(const TestPng& picture) {
  Bytes out;
  png_structp png = png_create_write_struct(PNG_LIBPNG_VER_STRING, nullptr, nullptr, nullptr);
  png_infop info = png_create_info_struct(png);
  png_set_write_fn(
      png, &out,
      [](png_structp writer, png_bytep data, std::size_t size) {
        auto* bytes = static_cast<Bytes*>(png_get_io_ptr(writer));
        bytes->insert(bytes->end(), data, data + size);
      },
      [](png_structp) {});
  png_set_IHDR(png, info, picture.width, picture.height, picture.depth, picture.colour_type,
               picture.interlaced ? PNG_INTERLACE_ADAM7 : PNG_INTERLACE_NONE,
               PNG_COMPRESSION_TYPE_DEFAULT, PNG_FILTER_TYPE_DEFAULT);
  if (picture.set_up) picture.set_up(png, info);
  png_write_info(png, info);
  for (const auto& [type, data] : picture.chunks) {
    png_write_chunk(png, reinterpret_cast<png_const_bytep>(type.data()), data.data(), data.size());
  }
  const std::size_t step = picture.rows.size() / picture.height;
  std::vector<png_bytep> rows;
  for (std::size_t y = 0; y < picture.height; ++y) {
    rows.push_back(const_cast<png_bytep>(picture.rows.data() + y * step));
  }
  png_write_image(png, rows.data());
  png_write_end(png, info);
  png_destroy_write_struct(&png, &info);
  return out;
}

// A zlib stream (RFC 1950) of one stored block: at most 65 535 bytes.
inline Bytes StoredZlib(std::span<const std::uint8_t> data) {
  const auto size = static_cast<std::uint16_t>(data.size());
  const auto low = [](unsigned v) { return static_cast<std::uint8_t>(v & 0xFFU); };
  const auto inverse = static_cast<std::uint16_t>(~size);
  Bytes out(data.size() + 7);
  const Bytes head = {
      0x78, 0x01, 0x01, low(size), low(size >> 8U), low(inverse), low(inverse >> 8U)};
  std::copy(head.begin(), head.end(), out.begin());
  std::copy(data.begin(), data.end(), out.begin() + 7);
  std::uint32_t a = 1;
  std::uint32_t b = 0;
  for (const std::uint8_t byte : data) {
    a = (a + byte) % 65521;
    b = (b + a) % 65521;
  }
  const std::uint32_t sum = (b << 16U) | a;
  for (const unsigned shift : {24U, 16U, 8U, 0U}) out.push_back(low(sum >> shift));
  return out;
}

// The contents of an iCCP chunk.
inline Bytes ProfileChunk(std::span<const std::uint8_t> icc) {
  Bytes chunk = {'p', 0, 0};
  const Bytes packed = StoredZlib(icc);
  chunk.insert(chunk.end(), packed.begin(), packed.end());
  return chunk;
}

}  // namespace ribwright::photo::testing
