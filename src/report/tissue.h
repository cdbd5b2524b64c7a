// SPDX-License-Identifier: Apache-2.0
// The tissue codes of the tissue map (8-bit, one channel, the photo's grid after EXIF orientation).
// A pixel carries its majority tissue; connective lines are lean; kUnreadable counts in no share.
#pragma once

#include <cstdint>

namespace ribwright::report {

enum class Tissue : std::uint8_t {
  kOutside = 0,
  kLean = 1,
  kMuscleFat = 2,  // fat inside a muscle: marbling
  kOtherFat = 3,   // cover and seam
  kBone = 4,
  kUnreadable = 5,  // glare, deep shadow, a label
};

}  // namespace ribwright::report
