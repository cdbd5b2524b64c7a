// SPDX-License-Identifier: Apache-2.0
// Entered colour values of the card's patches: measured on this very print, or published for a
// bought chart whose patches stand in these places.
//
// A CSV file with the columns patch, L, a, b (base/csv.h; docs/format/card_values.md): patch is an
// id of card_layout.h or "P" for bare paper, L* a* b* under D50, 2 degree observer. L* 0..100, a*
// and b* within
// +-128. At least twelve different patches, of them three greys (bare paper counts as one).
// Errors: kCardValuesUnusable, with the line and how to mend it.
#pragma once

#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

#include "base/result.h"
#include "photo/srgb.h"

namespace ribwright::photo {

inline constexpr int kLeastCardValues = 12;
inline constexpr int kLeastNeutralValues = 3;

struct CardValue {
  std::string patch;
  LabColour lab;
};

struct CardValues {
  std::vector<CardValue> values;  // in the card's order, bare paper last
};

Result<CardValues> ParseCardValues(std::string_view text, std::string name);
Result<CardValues> ReadCardValues(const std::filesystem::path& path);

}  // namespace ribwright::photo
