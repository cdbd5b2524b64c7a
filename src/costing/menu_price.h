// SPDX-License-Identifier: Apache-2.0
// From a plate's cost to the price on the menu.
//
// Net price n is what the house keeps of the dish: without tax, without the service charge.
//   target food cost f:  n = c / f        target margin m:  n = c + m     (dittmer-keefe; memory)
//   menu price M = n (1 + service where the menu's price includes it) (1 + tax where it includes
//   it)
// Food cost % and margin are always taken on n. The menu price is then rounded to an ending that
// the house likes (0.00, 0.50, 0.90 ...) in a chosen direction; what is achieved is computed back
// from the rounded price, with the cost's interval. Nothing is rounded before. Whole smallest units
// of money. Errors: kDataUnusable. Thread-safe.
//
// What-if: at price M' and elasticity e (percent of portions a percent of price, below 0) the
// portions become q (M'/M)^e; e has an interval: the house's own, or a stated range. e is a
// constant over the step: keep steps small.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/result.h"
#include "units/measured.h"
#include "units/money.h"

namespace ribwright::costing {

struct PriceRule {
  units::Currency currency = *units::Currency::FromText("EUR");
  std::optional<double> target_food_cost;  // 0..1; this or the margin
  std::optional<double> target_margin;     // currency units
  double tax = 0.0;                        // 0.19
  bool menu_includes_tax = true;
  double service = 0.0;
  bool menu_includes_service = false;
};

enum class Rounding { kUp, kNearest, kDown };

struct MenuEndings {
  std::int64_t step = 100;            // minor units: endings repeat each whole unit
  std::vector<std::int64_t> endings;  // minor units, 0 <= ending < step; empty: no rounding
  Rounding rounding = Rounding::kUp;  // of equals the higher
};

// The price with one of the endings: at least, nearest to, or at most `price`; never below zero.
std::int64_t RoundToEnding(std::int64_t price_minor, const MenuEndings& endings);

struct MenuPrice {
  double exact = 0.0;  // menu price before rounding, currency units
  units::Money menu{0, *units::Currency::FromText("EUR")};
  double net = 0.0;        // of the rounded price
  Measured food_cost_pct;  // achieved
  Measured margin;         // achieved, currency units
};

// `portion_cost` in currency units.
Result<MenuPrice> PriceDish(const Measured& portion_cost, const PriceRule& rule,
                            const MenuEndings& endings);
// The same for a price that stands already.
Result<MenuPrice> JudgePrice(const Measured& portion_cost, const PriceRule& rule,
                             const units::Money& menu);

struct WhatIf {
  Measured portions;  // unit "portions"
  Measured margin;    // of all portions, currency units
  double margin_now = 0.0;
};
// `elasticity` below 0 at both ends. Costs at their middle; the interval is that of elasticity.
Result<WhatIf> ChangePrice(double portion_cost, const PriceRule& rule, const units::Money& now,
                           const units::Money& then, double portions, const Measured& elasticity);

}  // namespace ribwright::costing
