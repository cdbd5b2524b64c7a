// SPDX-License-Identifier: Apache-2.0
// How much to buy for the covers that are expected: the newsvendor rule on the house's own history.
//
// Each past week gives a share of covers that ordered the dish; at `covers` expected guests that
// week would have asked D_i = share_i x covers portions. Too few portions lose `short_cost` each
// (the margin), too many `over_cost` each (what cannot be used again). The order with the lowest
// mean cost over the history is the smallest Q with
//   (number of weeks with D <= Q) / n >= short_cost / (short_cost + over_cost)
// and is one of the D_i, rounded up to whole portions (memory: the newsvendor rule). At least 4
// weeks (`assumed`). Pieces: portions x raw portion / yield, whole pieces, ceiled. Errors:
// kDataUnusable. Thread-safe.
#pragma once

#include <string>
#include <vector>

#include "base/result.h"
#include "units/mass.h"
#include "units/measured.h"

namespace ribwright::costing {

struct PastWeek {
  double covers = 0.0;    // guests
  double portions = 0.0;  // of the dish asked for
};

struct WeekNeed {
  std::string dish;
  std::string supplier;
  std::vector<PastWeek> history;
  double covers = 0.0;      // expected
  double short_cost = 0.0;  // currency units a portion
  double over_cost = 0.0;
  units::Mass raw_portion;
  double yield = 1.0;  // raw portions out of what is bought
  units::Mass piece;
  double stock_portions = 0.0;  // already there
};

struct WeekOrder {
  std::string dish;
  std::string supplier;
  double critical_ratio = 0.0;
  std::int64_t portions = 0;  // to have
  double kg = 0.0;            // to buy
  std::int64_t pieces = 0;
  Measured demand;           // portions, 90 % of weeks (linear between them)
  double mean_cost = 0.0;    // of too few and too many, currency units
  double odds_enough = 0.0;  // share of past weeks that it would have served
};

Result<WeekOrder> OrderForWeek(const WeekNeed& need);

// Mean cost over the history of having q portions; what OrderForWeek minimises.
double MeanMissCost(const WeekNeed& need, double q);

}  // namespace ribwright::costing
