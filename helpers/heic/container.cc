// SPDX-License-Identifier: Apache-2.0
#include "container.h"

#include <string_view>

namespace ribwright::heic {
namespace {

std::uint64_t BigEndian(std::span<const std::uint8_t> bytes) {
  std::uint64_t value = 0;
  for (const std::uint8_t byte : bytes) value = (value << 8U) | byte;
  return value;
}

}  // namespace

Container WalkBoxes(std::span<const std::uint8_t> bytes) {
  constexpr std::size_t kShortHead = 8;
  constexpr std::size_t kLongHead = 16;
  Container found;
  const auto text = [&](std::size_t at) {
    return std::string_view(reinterpret_cast<const char*>(bytes.data()) + at, 4);
  };
  if (bytes.size() >= 12) {
    const std::string_view brand = text(8);
    found.sequence = brand == "msf1" || brand == "hevc" || brand == "hevx";
  }
  std::size_t at = 0;
  while (at < bytes.size()) {
    if (bytes.size() - at < kShortHead) return found;
    std::uint64_t size = BigEndian(bytes.subspan(at, 4));
    std::size_t head = kShortHead;
    if (size == 1) {
      if (bytes.size() - at < kLongHead) return found;
      size = BigEndian(bytes.subspan(at + kShortHead, 8));
      head = kLongHead;
    } else if (size == 0) {
      size = bytes.size() - at;  // reaches to the end of the file
    }
    if (size < head || size > bytes.size() - at) return found;
    at += static_cast<std::size_t>(size);
  }
  found.whole = true;
  return found;
}

}  // namespace ribwright::heic
