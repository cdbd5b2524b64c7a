// SPDX-License-Identifier: Apache-2.0
// What a file's first bytes say it is.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string_view>

#include "photo/decode.h"

namespace ribwright::photo {

struct Sniffed {
  std::optional<PhotoFormat> format;  // one that is read here
  // Otherwise what it seems to be, as words that end "The file is …": "a GIF picture"; empty: no
  // idea.
  std::string_view seems;
};

Sniffed Sniff(std::span<const std::uint8_t> bytes);

}  // namespace ribwright::photo
