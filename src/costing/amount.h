// SPDX-License-Identifier: Apache-2.0
// Amounts of money while a computation runs: a double in whole currency units (EUR 3.22259), so
// that nothing is rounded on the way; RoundToMoney at its end, half away from zero, to the smallest
// unit. RoundToTotal rounds parts so that they sum to the rounded total exactly (largest
// remainders, the first of equals). Amounts must be finite and below 1e12 units, else LogicError.
// Thread-safe.
#pragma once

#include <span>
#include <string>
#include <vector>

#include "units/mass.h"
#include "units/money.h"

namespace ribwright::costing {

inline constexpr double kKgPerPound = units::kGramsPerPound / 1000.0;

// Currency units and back: EUR 12.34 is 1234 minor units.
double MinorPerUnit(const units::Currency& currency);
double AmountOf(const units::Money& money);
units::Money RoundToMoney(double amount, const units::Currency& currency);

// The parts' sum is rounded once; each part differs from its exact value by less than one unit.
std::vector<units::Money> RoundToTotal(std::span<const double> parts,
                                       const units::Currency& currency);

// "EUR 3.22"; `decimals` beyond the currency's own where a small price needs them.
std::string AmountText(double amount, const units::Currency& currency, int decimals);

}  // namespace ribwright::costing
