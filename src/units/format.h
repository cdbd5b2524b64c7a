// SPDX-License-Identifier: Apache-2.0
// Measured numbers as people read them: digits that the doubt allows, metric or US customary units.
//
// Digits: the last digit shown is the decade of the interval's half width h = (high - low) / 2, one
// digit finer where h begins with 1 or 2 (so 12.34 with h = 0.16 shows 12.34, with h = 0.4
// shows 12.3); never finer than four decimals, never coarser than whole numbers; an exact number
// shows four significant digits.
// (`assumed`: the usual habit of one to two significant digits of the doubt.)
// US customary: mm -> in (never finer than 0.01 in), cm2 -> in2, 1/cm2 -> 1/in2, mm2 -> thousandths
// of an in2, px/mm -> px/in; all else, colour included, stays as it is. 1 in = 25.4 mm exactly
// (international yard and pound agreement, 1959). Thread-safe; independent of the locale.
#pragma once

#include <string>
#include <string_view>

#include "units/measured.h"

namespace ribwright::units {

enum class System { kMetric, kUs };

inline constexpr double kMmPerInch = 25.4;  // exact
inline constexpr int kInchDecimals = 2;     // a rule reads no finer (assumed)

// The number in the system's unit; an unknown number keeps its reason.
Measured InSystem(const Measured& m, System system);

// Decimals to show for an interval [low, high]; 0 to 4. `value` decides where the width is zero.
int DecimalsFor(double value, double low, double high);

// A fixed number of decimals, with a true minus sign never left on a zero ("-0.0" is "0.0").
std::string Fixed(double x, int decimals);

// "cm2" -> "cm²", "1/cm2" -> "per cm²", "1" -> "": how a unit is printed behind a number.
std::string UnitText(std::string_view unit);

// The parts of a shown number; value is "not known" and the rest empty where the number is not
// known.
struct Shown {
  std::string value;
  std::string low;
  std::string high;
  std::string unit;
};
Shown Show(const Measured& m, System system);

// "12.3 % (11.9 to 12.8)", or "not known: no scale".
std::string Sentence(const Measured& m, System system);

}  // namespace ribwright::units
