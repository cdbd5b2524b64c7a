// SPDX-License-Identifier: Apache-2.0
#include "cooking/doneness.h"

#include <array>
#include <cmath>
#include <limits>

namespace ribwright::cooking {
namespace {

constexpr double kOpen = std::numeric_limits<double>::infinity();

constexpr std::array<DonenessRow, 6> kMeatScience{{{"very rare", 54.4, 54.4},
                                                   {"rare", 60.0, 60.0},
                                                   {"medium rare", 62.8, 62.8},
                                                   {"medium", 71.1, 71.1},
                                                   {"well done", 76.7, 76.7},
                                                   {"very well done", 82.2, 82.2}}};
constexpr std::array<DonenessRow, 6> kTrade{{{"blue", 46.0, 49.0},
                                             {"rare", 49.0, 52.0},
                                             {"medium rare", 54.0, 57.0},
                                             {"medium", 60.0, 63.0},
                                             {"medium well", 66.0, 68.0},
                                             {"well done", 71.0, kOpen}}};

}  // namespace

std::span<const DonenessRow> DonenessRows(Scale scale) {
  if (scale == Scale::kMeatScience) return kMeatScience;
  return kTrade;
}

std::string DonenessWord(Scale scale, double core_c) {
  const auto rows = DonenessRows(scale);
  if (core_c < rows.front().low_c) return "under " + std::string(rows.front().word);
  for (std::size_t i = rows.size(); i-- > 0;) {
    if (core_c < rows[i].low_c) continue;
    if (scale == Scale::kMeatScience || core_c <= rows[i].high_c || i + 1 == rows.size()) {
      return std::string(rows[i].word);
    }
    return "between " + std::string(rows[i].word) + " and " + std::string(rows[i + 1].word);
  }
  return {};
}

std::vector<HouseWord> HouseDefaults() {
  return {{"blue", 47.5},   {"rare", 50.5},        {"medium rare", 55.5},
          {"medium", 61.5}, {"medium well", 67.0}, {"well done", 72.0}};
}

std::optional<double> HouseTarget(std::span<const HouseWord> house, std::string_view word) {
  for (const HouseWord& row : house) {
    if (row.word == word) return row.core_c;
  }
  return std::nullopt;
}

std::string HouseWordFor(std::span<const HouseWord> house, double core_c) {
  const HouseWord* nearest = nullptr;
  for (const HouseWord& row : house) {
    if (std::fabs(row.core_c - core_c) > 1.5) continue;
    if (nearest == nullptr ||
        std::fabs(row.core_c - core_c) < std::fabs(nearest->core_c - core_c)) {
      nearest = &row;
    }
  }
  return nearest == nullptr ? std::string() : nearest->word;
}

}  // namespace ribwright::cooking
