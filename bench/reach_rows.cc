// SPDX-License-Identifier: Apache-2.0
#include "reach_rows.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numeric>

#include "base/check.h"

namespace ribwright::bench {
namespace {

std::string Number(double value, int digits, const std::string& unit) {
  return fmt::format("{:.{}f}{}{}", value, digits, unit.empty() ? "" : " ", unit);
}

Row Judge(std::string name, double measured, std::string limit, bool reached,
          const std::string& unit, int digits, std::string note) {
  Row row{std::move(name), Number(measured, digits, unit), std::move(limit), Verdict::kShort,
          std::move(note)};
  if (std::isfinite(measured) && reached) row.verdict = Verdict::kOk;
  return row;
}

}  // namespace

Row AtMost(std::string name, double measured, double limit, const std::string& unit, int digits,
           std::string note) {
  return Judge(std::move(name), measured, "<= " + Number(limit, digits, unit), measured <= limit,
               unit, digits, std::move(note));
}

Row AtLeast(std::string name, double measured, double limit, const std::string& unit, int digits,
            std::string note) {
  return Judge(std::move(name), measured, ">= " + Number(limit, digits, unit), measured >= limit,
               unit, digits, std::move(note));
}

Row Between(std::string name, double measured, double low, double high, const std::string& unit,
            int digits, std::string note) {
  return Judge(std::move(name), measured,
               fmt::format("{:.{}f} to {}", low, digits, Number(high, digits, unit)),
               low <= measured && measured <= high, unit, digits, std::move(note));
}

Row Skipped(std::string name, std::string limit, std::string why) {
  return {std::move(name), "-", std::move(limit), Verdict::kSkipped, std::move(why)};
}

std::string Line(const Row& row) {
  const char* verdict = row.verdict == Verdict::kOk      ? "ok"
                        : row.verdict == Verdict::kShort ? "short"
                                                         : "skipped";
  std::string line =
      fmt::format("{:<68} | {:>14} | {:>18} | {}", row.name, row.measured, row.limit, verdict);
  if (!row.note.empty()) line += " (" + row.note + ")";
  return line;
}

int ExitCode(std::span<const Row> rows) {
  const auto any = [&](Verdict verdict) {
    return std::any_of(rows.begin(), rows.end(),
                       [&](const Row& row) { return row.verdict == verdict; });
  };
  if (any(Verdict::kShort)) return 1;
  return any(Verdict::kSkipped) ? 4 : 0;
}

double Mean(std::span<const double> values) {
  RIBWRIGHT_CHECK(!values.empty());
  return std::accumulate(values.begin(), values.end(), 0.0) / static_cast<double>(values.size());
}

double Quantile(std::vector<double> values, double q) {
  RIBWRIGHT_CHECK(!values.empty() && q >= 0.0 && q <= 1.0);
  std::sort(values.begin(), values.end());
  const double at = q * static_cast<double>(values.size() - 1);
  const auto below = static_cast<std::size_t>(at);
  const std::size_t above = std::min(below + 1, values.size() - 1);
  return values[below] + (at - static_cast<double>(below)) * (values[above] - values[below]);
}

}  // namespace ribwright::bench
