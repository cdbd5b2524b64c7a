// SPDX-License-Identifier: Apache-2.0
// UtcTime: a moment, in whole milliseconds of UTC since 1970-01-01T00:00:00Z (leap seconds not
// counted), and Day: a calendar day without a place.
//
// Inside the program every time is UTC; only what faces a person knows time zones. Text is RFC
// 3339: "2026-03-01T12:00:00.250Z"; reading also takes an offset ("+01:00"), a lower-case t or z,
// a blank for the T and up to nine decimals (cut, not rounded, to milliseconds). Years 1970 to
// 9999. Second 60 is refused. Errors: kEntryUnusable. Nothing here reads a clock: times are passed
// in. Thread-safe.
#pragma once

#include <chrono>
#include <compare>
#include <cstdint>
#include <string>
#include <string_view>

#include "base/result.h"

namespace ribwright::units {

struct UtcTime {
  std::int64_t ms = 0;
  friend constexpr auto operator<=>(UtcTime, UtcTime) = default;
  friend constexpr UtcTime operator+(UtcTime t, std::chrono::milliseconds d) {
    return {t.ms + d.count()};
  }
  friend constexpr UtcTime operator-(UtcTime t, std::chrono::milliseconds d) {
    return {t.ms - d.count()};
  }
  friend constexpr std::chrono::milliseconds operator-(UtcTime a, UtcTime b) {
    return std::chrono::milliseconds(a.ms - b.ms);
  }
};

using Day = std::chrono::sys_days;

std::string TimeText(UtcTime time);  // always with Z; milliseconds only where there are any
Result<UtcTime> TimeFromText(std::string_view text);

std::string DayText(Day day);  // "2026-03-01"
Result<Day> DayFromText(std::string_view text);

}  // namespace ribwright::units
