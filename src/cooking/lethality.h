// SPDX-License-Identifier: Apache-2.0
// How long meat must stay at a temperature for a published kill of Salmonella, and how much of that
// a cook has given.
//
// The table is fsis-appendix-a (beef; 130 to 158 deg F, 6.5-log and 7-log columns; rows of the
// older rule and of food-code where the print read lacks one; four to five rows recalled: memory,
// marked in lethality.cc and checked to lie on the curve). Advice interpolates it and is never
// shorter:
//   between rows a straight line in time, which lies above the table's convex curve; both the
//   printed Celsius and the exact conversion of the Fahrenheit are tried and the longer time holds;
//   157 to 158 deg F keep the time of 157; 158 deg F (70.0 deg C) and over: at once.
// Below 54.4 deg C the table gives nothing, and neither does this: no credit.
// LogCredit integrates dt / time(T) over the coldest point's record: 1 means the table is met.
// Fit() is the log-linear line through the table (z, D60), for comparison only, never for advice.
// Measured kills at 54.4 deg C did not reach the table (McMinn et al., Meat and Muscle Biology),
// and Listeria is tougher: Cautions say so. Nothing here says that meat is safe. Thread-safe.
#pragma once

#include <optional>
#include <span>

namespace ribwright::cooking {

enum class LogLine { kSixAndHalf, kSeven };

inline constexpr double kTableStartC = 54.4;  // 130 deg F as printed
inline constexpr double kInstantC = 70.0;     // 158 deg F

enum class RowStatus { kRead, kMemory };
struct HoldRow {
  double fahrenheit;
  double printed_c;
  double seconds;
  RowStatus status;
};
std::span<const HoldRow> HoldTable(LogLine line);

// Seconds to hold; nothing below the table's start.
std::optional<double> HoldSeconds(double t_c, LogLine line = LogLine::kSixAndHalf);

// Share of the published hold that a record of the coldest point has given (0 none, >= 1 met);
// points (seconds, deg C) in rising order, the temperature a straight line between them. Any moment
// at 70 deg C counts as met.
struct TimedTemperature {
  double seconds;
  double t_c;
};
double LogCredit(std::span<const TimedTemperature> record, LogLine line = LogLine::kSixAndHalf);

struct LogLinear {
  double d60_min;
  double z_k;
  double rms_relative;  // misfit in time
};
LogLinear FitTable();

// One organism with D at 60 deg C and z: seconds for `logs` at a steady temperature, and the logs
// that a record gives. Used for tabulated times of vacuum-bagged meat.
double KillSeconds(double t_c, double logs, double d60_min, double z_k);
double KillLogs(std::span<const TimedTemperature> record, double d60_min, double z_k);

}  // namespace ribwright::cooking
