// SPDX-License-Identifier: Apache-2.0
// Words for doneness. Two published scales use the same words for core temperatures 6 to 10 K
// apart, so a word alone says little: every card shows what both call the house's temperature.
//
//   meat science (ksu-doneness): a point each, peak core temperature: very rare 54.4 ... very well
//     done 82.2 deg C. A temperature has the highest word it reaches.
//   restaurant trade (several public pages, low authority): ranges with gaps: blue 46-49, rare
//     49-52, medium rare 54-57, medium 60-63, medium well 66-68, well done 71 and over.
// The house's own words are its choice; HouseDefaults() takes the middles of the trade's ranges
// (assumed). One steak in a batch may be off by a degree of doneness either way (Berry et al.
// 1995). Thread-safe.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace ribwright::cooking {

enum class Scale { kMeatScience, kTrade };

struct DonenessRow {
  std::string_view word;
  double low_c;
  double high_c;  // of a point: the same; of an open range: infinity
};
std::span<const DonenessRow> DonenessRows(Scale scale);

// "medium rare", "between rare and medium rare", "under very rare".
std::string DonenessWord(Scale scale, double core_c);

struct HouseWord {
  std::string word;
  double core_c;
};
std::vector<HouseWord> HouseDefaults();
std::optional<double> HouseTarget(std::span<const HouseWord> house, std::string_view word);
// The house's nearest word within 1.5 K; empty where none is near.
std::string HouseWordFor(std::span<const HouseWord> house, double core_c);

}  // namespace ribwright::cooking
