// SPDX-License-Identifier: Apache-2.0
// A walk over the outer boxes of an ISO base media file (ISO/IEC 14496-12): is it whole, is it a
// sequence.
#pragma once

#include <cstdint>
#include <span>

namespace ribwright::heic {

struct Container {
  bool whole = false;     // every outer box ends within the bytes
  bool sequence = false;  // its brand says that it moves
};

Container WalkBoxes(std::span<const std::uint8_t> bytes);

}  // namespace ribwright::heic
