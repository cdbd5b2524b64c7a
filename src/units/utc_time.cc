// SPDX-License-Identifier: Apache-2.0
#include "units/utc_time.h"

#include <fmt/format.h>

#include "base/check.h"

namespace ribwright::units {
namespace {

namespace chrono = std::chrono;

tl::unexpected<Error> NotATime(std::string_view text) {
  return Fail(Code::kEntryUnusable, "This is not a date and time with its offset.",
              std::string(text.substr(0, 40)), "Write it as 2026-03-01T12:00:00Z.");
}

tl::unexpected<Error> NotADay(std::string_view text) {
  return Fail(Code::kEntryUnusable, "This is not a day.", std::string(text.substr(0, 40)),
              "Write it as 2026-03-01.");
}

// Reads from the front of a text and remembers whether anything was amiss.
class Reader {
 public:
  explicit Reader(std::string_view text) : text_(text) {}
  int Digits(int count) {
    int value = 0;
    for (int i = 0; i < count; ++i) {
      if (!AtDigit()) {
        good_ = false;
        return 0;
      }
      value = value * 10 + (text_[at_++] - '0');
    }
    return value;
  }
  void Want(std::string_view any) { good_ = TakeAny(any) != '\0' && good_; }
  char TakeAny(std::string_view any) {
    if (at_ == text_.size() || any.find(text_[at_]) == std::string_view::npos) return '\0';
    return text_[at_++];
  }
  bool AtDigit() const { return at_ < text_.size() && text_[at_] >= '0' && text_[at_] <= '9'; }
  bool Done() const { return good_ && at_ == text_.size(); }
  void Fault() { good_ = false; }

 private:
  std::string_view text_;
  std::size_t at_ = 0;
  bool good_ = true;
};

chrono::year_month_day ReadDay(Reader& reader) {
  const int year = reader.Digits(4);
  reader.Want("-");
  const int month = reader.Digits(2);
  reader.Want("-");
  const int day = reader.Digits(2);
  const chrono::year_month_day date(chrono::year(year), chrono::month(static_cast<unsigned>(month)),
                                    chrono::day(static_cast<unsigned>(day)));
  if (year < 1970 || !date.ok()) reader.Fault();
  return date;
}

int ReadMilliseconds(Reader& reader) {
  if (reader.TakeAny(".") == '\0') return 0;
  int ms = 0;
  int count = 0;
  for (; reader.AtDigit(); ++count) {
    const int digit = reader.Digits(1);
    if (count < 3) ms = ms * 10 + digit;
  }
  if (count == 0 || count > 9) reader.Fault();
  for (; count < 3; ++count) ms *= 10;
  return ms;
}

int ReadOffsetMinutes(Reader& reader) {
  const char sign = reader.TakeAny("+-");
  if (sign == '\0') {
    reader.Want("Zz");
    return 0;
  }
  const int hours = reader.Digits(2);
  reader.Want(":");
  const int minutes = reader.Digits(2);
  if (hours > 23 || minutes > 59) reader.Fault();
  return (sign == '-' ? -1 : 1) * (hours * 60 + minutes);
}

}  // namespace

std::string DayText(Day day) {
  const chrono::year_month_day date(day);
  return fmt::format("{:04}-{:02}-{:02}", static_cast<int>(date.year()),
                     static_cast<unsigned>(date.month()), static_cast<unsigned>(date.day()));
}

Result<Day> DayFromText(std::string_view text) {
  Reader reader(text);
  const chrono::year_month_day date = ReadDay(reader);
  if (!reader.Done()) return NotADay(text);
  return chrono::sys_days(date);
}

std::string TimeText(UtcTime time) {
  RIBWRIGHT_CHECK(time.ms >= 0 && time.ms < 253'402'300'800'000);
  const std::int64_t days = time.ms / 86'400'000;
  const std::int64_t in_day = time.ms % 86'400'000;
  std::string text = fmt::format("{}T{:02}:{:02}:{:02}", DayText(Day(chrono::days(days))),
                                 in_day / 3'600'000, in_day / 60'000 % 60, in_day / 1000 % 60);
  if (in_day % 1000 != 0) text += fmt::format(".{:03}", in_day % 1000);
  return text + "Z";
}

Result<UtcTime> TimeFromText(std::string_view text) {
  Reader reader(text);
  const chrono::year_month_day date = ReadDay(reader);
  reader.Want("Tt ");
  const int hour = reader.Digits(2);
  reader.Want(":");
  const int minute = reader.Digits(2);
  reader.Want(":");
  const int second = reader.Digits(2);
  if (hour > 23 || minute > 59 || second > 59) reader.Fault();
  const int ms = ReadMilliseconds(reader);
  const int offset = ReadOffsetMinutes(reader);
  if (!reader.Done()) return NotATime(text);
  const std::int64_t days = chrono::sys_days(date).time_since_epoch().count();
  const UtcTime time{((days * 24 + hour) * 60 + minute - offset) * 60'000 + second * 1000 + ms};
  if (time.ms < 0 || time.ms >= 253'402'300'800'000) return NotATime(text);
  return time;
}

}  // namespace ribwright::units
