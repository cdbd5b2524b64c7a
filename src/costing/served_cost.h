// SPDX-License-Identifier: Apache-2.0
// Served cost: what 100 g on the plate cost, from what the piece cost.
//
// A chain is a piece of mass A as purchased, a price per kg, and stages in order (purge, ageing
// shrink, trim, kerf, portioning, cooking). A stage takes parts off what stands before it; each
// part is a share of that mass, and may be sold or used at a value per kg:
//   m_i = m_(i-1) (1 - sum_k s_ik),  credit_i = sum_k m_(i-1) s_ik v_ik
//   total T = A (price + freight) + wage x minutes + A days x holding - sum credit
//   cost per served kg = T / m_n;  per portion = T / (m_n / served portion)
// Every share, value, minute and rate is a Spread; what is bought at a quoted price is exact.
// Shares of one stage that sum to 1 or more in any draw are refused (kDataUnusable), never cut.
//
// Result: median and the interval that holds nine draws in ten; `lines`, the waterfall: what each
// step adds to the cost per served kg (means over draws; they sum to the mean cost). A step adds
// what the missing mass makes dearer, less its credit: c_i = (c_(i-1) - credit_i / m_(i-1)) / (1 -
// sum_k s_ik), money that is paid before the first stage counted first. `tornado`: each input moved
// to its 5 % and 95 % points, the rest at their middles, widest first.
//
// Draws go by counter (math/draws.h): the result depends on seed and draws only, not on threads.
// Inputs that name the same stream share luck, so that offers are compared under the same kitchen.
// Cost: about 4 ns an input and draw. Thread-safe: pure functions.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "base/result.h"
#include "costing/spread.h"
#include "units/mass.h"
#include "units/measured.h"
#include "units/money.h"

namespace ribwright::costing {

struct StagePart {
  std::string name;     // "bone", "trim to grind", "fat"
  Spread share;         // of the mass before the stage
  Spread value_per_kg;  // currency units; 0 where it is thrown away
};

struct Stage {
  std::string name;  // "purge", "trim", "cooking loss"
  std::vector<StagePart> parts;
};

struct ServedChain {
  std::string name;
  units::Currency currency = *units::Currency::FromText("EUR");
  units::Mass purchased;  // of one piece
  Spread price_per_kg = Spread::Exact(0.0);
  Spread freight_per_kg = Spread::Exact(0.0);
  Spread minutes = Spread::Exact(0.0);        // of labour, for the piece
  Spread wage_per_hour = Spread::Exact(0.0);  // currency units
  Spread days_held = Spread::Exact(0.0);
  Spread holding_per_kg_day = Spread::Exact(0.0);
  std::vector<Stage> stages;
  std::optional<units::Mass> portion;  // as served
};

struct DrawPlan {
  std::uint64_t seed = 1;
  int draws = 20'000;  // 100 to 10 million
  int threads = 1;     // changes speed, never results
};

struct CostLine {
  std::string name;
  double per_kg = 0.0;  // currency units added to the cost per served kg
  Origin origin = Origin::kQuoted;
  std::string source;
};

struct CostSwing {
  std::string name;
  double at_low = 0.0;  // cost per served kg with the input at its 5 % point
  double at_high = 0.0;
  Origin origin = Origin::kQuoted;
  std::string source;
  double Width() const { return at_high > at_low ? at_high - at_low : at_low - at_high; }
};

struct ServedCost {
  Measured per_100g;                    // unit "EUR/100 g"
  std::optional<Measured> per_portion;  // unit "EUR/portion"
  Measured served_yield;                // served mass / purchased mass, unit "1"
  double mean_per_kg = 0.0;
  std::vector<CostLine> lines;
  std::vector<CostSwing> tornado;
};

Status CheckChain(const ServedChain& chain);
Result<ServedCost> ComputeServedCost(const ServedChain& chain, const DrawPlan& plan);

// With every input at its middle.
double CostPerKgAtMiddles(const ServedChain& chain);

// Per draw, the two numbers that the price enters by: cost per served kg = price x per_price +
// rest, so that other prices need no new draws. price x per_price covers the meat alone.
struct CostDraws {
  std::vector<double> per_price;
  std::vector<double> rest;
  std::vector<double> price;
  double Cost(std::size_t draw) const { return price[draw] * per_price[draw] + rest[draw]; }
};
Result<CostDraws> DrawCosts(const ServedChain& chain, const DrawPlan& plan);

// The middle and both ends of nine in ten of `draws` (linear between order statistics; reorders).
Measured SummaryOf(std::vector<double>& draws, std::string unit, std::string basis);

}  // namespace ribwright::costing
