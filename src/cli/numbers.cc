// SPDX-License-Identifier: Apache-2.0
#include "cli/numbers.h"

#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <charconv>
#include <cmath>
#include <limits>

namespace ribwright::cli {
namespace {

template <typename T>
Result<T> Read(const std::string& text, const char* what) {
  T number{};
  const char* end = text.data() + text.size();
  const auto [stopped, failed] = std::from_chars(text.data(), end, number);
  if (failed == std::errc::result_out_of_range && stopped == end) {
    return Fail(Code::kBadOption, fmt::format("\"{}\" is too large or too small", text), "",
                "give a number that can be");
  }
  if (failed != std::errc() || stopped != end || !std::isfinite(static_cast<double>(number))) {
    return Fail(Code::kBadOption, fmt::format("\"{}\" is not {}", text, what), "",
                text.find(',') != std::string::npos ? "use a decimal point, as in 3.5"
                                                    : "give decimal digits, as in 35");
  }
  return number;
}

// The library wants the fault as text; empty: none.
template <typename T, typename From>
CLI::Validator Within(T least, T most, From from) {
  const std::string range = fmt::format("{} to {}", least, most);
  CLI::Validator check(
      [least, most, range, from](std::string& text) -> std::string {
        const auto number = from(text);
        if (!number) return number.error().message + "; " + number.error().mend;
        if (*number >= least && *number <= most) return "";
        return fmt::format("{} is outside {}", text, range);
      },
      "");
  return check;
}

}  // namespace

Result<double> NumberFrom(const std::string& text) { return Read<double>(text, "a number"); }
Result<std::int64_t> WholeNumberFrom(const std::string& text) {
  return Read<std::int64_t>(text, "a whole number");
}

CLI::Validator PlainNumber() {
  constexpr double kMost = std::numeric_limits<double>::max();
  return NumberIn(-kMost, kMost);
}
CLI::Validator NumberIn(double least, double most) {
  return Within<double>(least, most, NumberFrom);
}
CLI::Validator WholeNumberIn(std::int64_t least, std::int64_t most) {
  return Within<std::int64_t>(least, most, WholeNumberFrom);
}

}  // namespace ribwright::cli
