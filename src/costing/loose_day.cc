// SPDX-License-Identifier: Apache-2.0
#include "costing/loose_day.h"

#include <array>
#include <charconv>

namespace ribwright::costing {

std::optional<units::Day> LooseDay(std::string_view text, DayOrder order) {
  std::array<int, 3> p{};
  const char* at = text.data();
  const char* end = at + text.size();
  for (std::size_t i = 0; i < 3; ++i) {
    const auto [next, error] = std::from_chars(at, end, p[i]);
    if (error != std::errc() || p[i] < 0 || (i < 2 && next == end)) return std::nullopt;
    at = i < 2 ? next + 1 : next;
  }
  if (at != end) return std::nullopt;
  const std::array<int, 3> ymd = order == DayOrder::kYmd   ? p
                                 : order == DayOrder::kDmy ? std::array{p[2], p[1], p[0]}
                                                           : std::array{p[2], p[0], p[1]};
  const std::chrono::year_month_day day{std::chrono::year(ymd[0]),
                                        std::chrono::month(static_cast<unsigned>(ymd[1])),
                                        std::chrono::day(static_cast<unsigned>(ymd[2]))};
  if (ymd[0] < 1970 || ymd[0] > 9999 || ymd[1] > 12 || ymd[2] > 31 || !day.ok()) {
    return std::nullopt;
  }
  return units::Day(day);
}

}  // namespace ribwright::costing
