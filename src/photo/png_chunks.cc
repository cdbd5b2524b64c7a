// SPDX-License-Identifier: Apache-2.0
#include "photo/png_chunks.h"

#include <string_view>

namespace ribwright::photo {
namespace {

std::uint32_t BigEndian(std::span<const std::uint8_t> b) {
  return (std::uint32_t{b[0]} << 24) | (std::uint32_t{b[1]} << 16) | (std::uint32_t{b[2]} << 8) |
         std::uint32_t{b[3]};
}

}  // namespace

PngChunks WalkPng(std::span<const std::uint8_t> bytes) {
  constexpr std::size_t kSignature = 8;
  constexpr std::size_t kFrame = 12;  // length, type and CRC
  PngChunks chunks;
  std::size_t at = kSignature;
  while (bytes.size() >= at + kFrame) {
    const std::size_t length = BigEndian(bytes.subspan(at));
    if (length > bytes.size() - at - kFrame) {
      // The header is worth knowing even when the rest is cut off: it decides on size first.
      return chunks;
    }
    const std::string_view type(reinterpret_cast<const char*>(bytes.data()) + at + 4, 4);
    const auto data = bytes.subspan(at + 8, length);
    if (type == "IHDR" && length == 13) {
      chunks.has_header = true;
      chunks.width = BigEndian(data);
      chunks.height = BigEndian(data.subspan(4));
    } else if (type == "acTL") {
      chunks.animated = true;
    } else if (type == "iCCP") {
      chunks.has_profile = true;
    } else if (type == "eXIf") {
      chunks.exif = data;
    } else if (type == "IEND") {
      chunks.whole = true;
      return chunks;
    }
    at += kFrame + length;
  }
  return chunks;
}

}  // namespace ribwright::photo
