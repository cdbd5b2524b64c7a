// SPDX-License-Identifier: Apache-2.0
// A walk over a PNG's chunks before libpng sees it: is the file whole, is it animated, where is its
// EXIF. (PNG specification, third edition: length, type, data, CRC; all numbers big-endian.)
#pragma once

#include <cstdint>
#include <span>

namespace ribwright::photo {

struct PngChunks {
  bool whole = false;     // every chunk lies inside the bytes and the last is IEND
  bool animated = false;  // has acTL
  bool has_header = false;
  bool has_profile = false;  // has iCCP, usable or not
  std::uint32_t width = 0;
  std::uint32_t height = 0;
  std::span<const std::uint8_t> exif;  // contents of eXIf
};

PngChunks WalkPng(std::span<const std::uint8_t> bytes);

}  // namespace ribwright::photo
