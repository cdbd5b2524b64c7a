// SPDX-License-Identifier: Apache-2.0
#include "server/photo_shape.h"

#include <algorithm>
#include <string_view>

namespace ribwright::server {
namespace {

using Bytes = std::span<const std::uint8_t>;

Status Truncated() {
  return Fail(Code::kPhotoTruncated, "The picture breaks off before its end.", "body",
              "Send the photo again; if it stays so, take it again.");
}

std::uint64_t BigEndian(Bytes bytes, std::size_t at, std::size_t count) {
  std::uint64_t value = 0;
  for (std::size_t i = 0; i < count; ++i) value = value << 8U | bytes[at + i];
  return value;
}

bool IsFrame(std::uint8_t marker) {
  return marker >= 0xC0U && marker <= 0xCFU && marker != 0xC4U && marker != 0xC8U &&
         marker != 0xCCU;
}

Status Jpeg(Bytes bytes) {
  std::size_t at = 2;
  for (;;) {
    while (at < bytes.size() && bytes[at] != 0xFFU) ++at;  // stray bytes are passed over, as usual
    while (at < bytes.size() && bytes[at] == 0xFFU) ++at;
    if (at + 3 > bytes.size()) return Truncated();
    const std::uint8_t marker = bytes[at++];
    if (marker == 0 || marker == 0x01U || (marker >= 0xD0U && marker <= 0xD8U)) continue;
    if (marker == 0xD9U) return Truncated();  // an end without a picture
    const auto length = static_cast<std::size_t>(BigEndian(bytes, at, 2));
    if (length < 2 || at + length > bytes.size()) return Truncated();
    if (IsFrame(marker) && length >= 8 && bytes[at + 7] == 4) {
      return Fail(Code::kPhotoCmyk, "The picture holds printing inks (CMYK), not light.", "body",
                  "Send the camera's own photo, or save it as RGB.");
    }
    at += length;
    if (marker == 0xDAU) break;
  }
  // Within a scan 0xFF is followed by 0 or a marker: an end found here is one.
  constexpr std::uint8_t kEnd[] = {0xFFU, 0xD9U};
  const auto rest = bytes.subspan(at);
  if (std::search(rest.begin(), rest.end(), std::begin(kEnd), std::end(kEnd)) == rest.end()) {
    return Truncated();
  }
  return {};
}

Status Png(Bytes bytes) {
  for (std::size_t at = 8;;) {
    if (bytes.size() - at < 12) return Truncated();
    const std::uint64_t length = BigEndian(bytes, at, 4);
    if (length > bytes.size() - at - 12) return Truncated();
    const std::string_view kind(reinterpret_cast<const char*>(bytes.data() + at + 4), 4);
    if (kind == "IEND") return {};
    at += 12 + static_cast<std::size_t>(length);
  }
}

Status Webp(Bytes bytes) {
  if (bytes.size() < 12) return Truncated();
  const std::uint64_t size = std::uint64_t{bytes[4]} | std::uint64_t{bytes[5]} << 8U |
                             std::uint64_t{bytes[6]} << 16U | std::uint64_t{bytes[7]} << 24U;
  return size + 8 > bytes.size() ? Truncated() : Status();
}

Status Heic(Bytes bytes) {
  std::size_t at = 0;
  while (at < bytes.size()) {
    const std::size_t left = bytes.size() - at;
    if (left < 8) return Truncated();
    std::uint64_t size = BigEndian(bytes, at, 4);
    if (size == 0) return {};  // to the end
    if (size == 1) {
      if (left < 16) return Truncated();
      size = BigEndian(bytes, at + 8, 8);
    }
    if (size < 8 || size > left) return Truncated();
    at += static_cast<std::size_t>(size);
  }
  return {};
}

}  // namespace

Status CheckPhotoShape(Bytes bytes, photo::PhotoFormat format) {
  switch (format) {
    case photo::PhotoFormat::kJpeg:
      return Jpeg(bytes);
    case photo::PhotoFormat::kPng:
      return bytes.size() < 8 ? Truncated() : Png(bytes);
    case photo::PhotoFormat::kWebp:
      return Webp(bytes);
    case photo::PhotoFormat::kHeic:
      return Heic(bytes);
  }
  return {};
}

}  // namespace ribwright::server
