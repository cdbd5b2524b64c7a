// SPDX-License-Identifier: Apache-2.0
#include "cooking/lethality.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "base/check.h"

namespace ribwright::cooking {
namespace {

constexpr auto R = RowStatus::kRead;
constexpr auto M = RowStatus::kMemory;

// fsis-appendix-a; 138, 144, 149, 153, 155 and 157 deg F of the first column from food-code (same
// values), minutes of the second also in the older rule.
constexpr std::array<HoldRow, 29> kSixAndHalf{{
    {130, 54.4, 6720, R}, {131, 55.0, 5340, R}, {132, 55.6, 4260, M}, {133, 56.1, 3360, R},
    {134, 56.7, 2700, R}, {135, 57.2, 2160, R}, {136, 57.8, 1680, R}, {137, 58.4, 1380, R},
    {138, 58.9, 1080, R}, {139, 59.5, 900, M},  {140, 60.0, 720, R},  {141, 60.6, 600, M},
    {142, 61.1, 480, R},  {143, 61.7, 360, M},  {144, 62.2, 300, R},  {145, 62.8, 240, R},
    {146, 63.3, 169, R},  {147, 63.9, 134, R},  {148, 64.4, 107, M},  {149, 65.0, 85, R},
    {150, 65.6, 67, R},   {151, 66.1, 54, R},   {152, 66.7, 43, R},   {153, 67.2, 34, R},
    {154, 67.8, 27, R},   {155, 68.3, 22, R},   {156, 68.9, 17, R},   {157, 69.4, 14, R},
    {158, 70.0, 0, R},
}};
constexpr std::array<HoldRow, 29> kSeven{{
    {130, 54.4, 7260, R}, {131, 55.0, 5820, R}, {132, 55.6, 4620, R}, {133, 56.1, 3720, R},
    {134, 56.7, 2820, R}, {135, 57.2, 2220, R}, {136, 57.8, 1920, R}, {137, 58.4, 1440, R},
    {138, 58.9, 1140, R}, {139, 59.5, 900, R},  {140, 60.0, 720, R},  {141, 60.6, 600, R},
    {142, 61.1, 480, R},  {143, 61.7, 360, R},  {144, 62.2, 300, R},  {145, 62.8, 240, R},
    {146, 63.3, 182, R},  {147, 63.9, 144, R},  {148, 64.4, 115, M},  {149, 65.0, 91, R},
    {150, 65.6, 72, M},   {151, 66.1, 58, R},   {152, 66.7, 46, M},   {153, 67.2, 37, R},
    {154, 67.8, 29, M},   {155, 68.3, 23, R},   {156, 68.9, 19, R},   {157, 69.4, 15, R},
    {158, 70.0, 0, R},
}};

double ExactC(const HoldRow& row) { return (row.fahrenheit - 32.0) / 1.8; }

// Chord between rows whose abscissa `at` gives; the first row's time up to it.
template <typename F>
double Chord(std::span<const HoldRow> rows, double t_c, const F& at) {
  if (t_c <= at(rows.front())) return rows.front().seconds;
  for (std::size_t i = 1; i < rows.size(); ++i) {
    if (t_c > at(rows[i]) || (t_c == at(rows[i]) && rows[i].seconds == 0.0)) continue;
    if (rows[i].seconds == 0.0) return rows[i - 1].seconds;
    const double part = (t_c - at(rows[i - 1])) / (at(rows[i]) - at(rows[i - 1]));
    return rows[i - 1].seconds + part * (rows[i].seconds - rows[i - 1].seconds);
  }
  return 0.0;
}

// The integral of f(T) over a record, each piece cut to steps of at most 0.1 K.
template <typename F>
double Integrate(std::span<const TimedTemperature> record, const F& f) {
  double sum = 0.0;
  for (std::size_t i = 1; i < record.size(); ++i) {
    const auto& a = record[i - 1];
    const auto& b = record[i];
    RIBWRIGHT_CHECK(b.seconds >= a.seconds);
    const int parts = std::clamp(static_cast<int>(std::fabs(b.t_c - a.t_c) * 10.0) + 1, 1, 10000);
    for (int p = 0; p < parts; ++p) {
      // The colder end of each part: never more than was given.
      const double low = a.t_c + (b.t_c - a.t_c) * p / parts;
      const double high = a.t_c + (b.t_c - a.t_c) * (p + 1) / parts;
      sum += f(std::min(low, high)) * (b.seconds - a.seconds) / parts;
    }
  }
  return sum;
}

}  // namespace

std::span<const HoldRow> HoldTable(LogLine line) {
  if (line == LogLine::kSixAndHalf) return kSixAndHalf;
  return kSeven;
}

std::optional<double> HoldSeconds(double t_c, LogLine line) {
  if (!(t_c >= kTableStartC)) return std::nullopt;
  if (t_c >= kInstantC) return 0.0;
  const auto rows = HoldTable(line);
  return std::max(Chord(rows, t_c, [](const HoldRow& r) { return r.printed_c; }),
                  Chord(rows, t_c, ExactC));
}

double LogCredit(std::span<const TimedTemperature> record, LogLine line) {
  for (const auto& point : record) {
    if (point.t_c >= kInstantC)
      return std::max(1.0, Integrate(record, [&](double t) {
                        const auto hold = HoldSeconds(std::min(t, kInstantC - 0.01), line);
                        return hold ? 1.0 / *hold : 0.0;
                      }));
  }
  return Integrate(record, [&](double t) {
    const auto hold = HoldSeconds(t, line);
    return hold ? 1.0 / *hold : 0.0;
  });
}

LogLinear FitTable() {
  // ln(seconds / logs) = ln D60 - (T - 60) ln 10 / z, both columns, rows that have a time.
  double n = 0, sx = 0, sy = 0, sxx = 0, sxy = 0;
  const auto each = [](const auto& take) {
    for (const HoldRow& row : kSixAndHalf) {
      if (row.seconds > 0.0) take(ExactC(row) - 60.0, std::log(row.seconds / 60.0 / 6.5));
    }
    for (const HoldRow& row : kSeven) {
      if (row.seconds > 0.0) take(ExactC(row) - 60.0, std::log(row.seconds / 60.0 / 7.0));
    }
  };
  each([&](double x, double y) {
    n += 1;
    sx += x;
    sy += y;
    sxx += x * x;
    sxy += x * y;
  });
  const double slope = (n * sxy - sx * sy) / (n * sxx - sx * sx);
  const double level = (sy - slope * sx) / n;
  double squares = 0;
  each([&](double x, double y) {
    const double relative = std::exp(level + slope * x - y) - 1.0;
    squares += relative * relative;
  });
  return {std::exp(level), -std::log(10.0) / slope, std::sqrt(squares / n)};
}

double KillSeconds(double t_c, double logs, double d60_min, double z_k) {
  RIBWRIGHT_CHECK(logs > 0.0 && d60_min > 0.0 && z_k > 0.0);
  return logs * d60_min * 60.0 * std::pow(10.0, (60.0 - t_c) / z_k);
}

double KillLogs(std::span<const TimedTemperature> record, double d60_min, double z_k) {
  RIBWRIGHT_CHECK(d60_min > 0.0 && z_k > 0.0);
  return Integrate(record,
                   [&](double t) { return std::pow(10.0, (t - 60.0) / z_k) / (d60_min * 60.0); });
}

}  // namespace ribwright::cooking
