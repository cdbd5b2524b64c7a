// SPDX-License-Identifier: Apache-2.0
// The butcher's test and the cooking-loss test, as cards whose weights must add up.
//
// Butcher's test: a piece of mass A bought at p per kg is taken apart into a main part, by-products
// with a value per kg, and losses (cutting loss, waste, value 0).
//   sum of parts = A within the tolerance, else refused with the missing (or surplus) grams
//   cost A p;  credit = sum(by-product mass x value);  main value V = A p - credit
//   cost per kg v = V / main mass;  cost factor f = v / p;  yield = main mass / A
//   portion cost = v x portion;  portion factor = portion cost / p (portion in kg or lb, as p is)
// A factor is exact only while by-product values move with p: PortionCostAt gives both ways.
// Cooking-loss test: the main part is cooked and trimmed after; the same values over the saleable
// cooked mass, once with the by-product credit and once without, since cards differ on it; both are
// given. Nothing is rounded before the end. Formulas: dittmer-keefe, chapter 6.
//
// Tolerance where none is given: 5 g for tests above 1.5 kg, else 1 g (`assumed`, as in the
// ledger's mass balance). Errors: kMassNotConserved, kDataUnusable. Thread-safe.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/result.h"
#include "units/mass.h"
#include "units/money.h"

namespace ribwright::costing {

enum class PartRole { kMain, kByProduct, kLoss };

struct YieldPart {
  std::string name;
  units::Mass mass;
  double value_per_kg = 0.0;  // currency units; 0 for losses and for the main part
  PartRole role = PartRole::kLoss;
};

struct YieldCard {
  std::string name;
  units::Mass purchased;
  double price_per_kg = 0.0;  // currency units
  units::Currency currency = *units::Currency::FromText("EUR");
  std::vector<YieldPart> parts;  // exactly one main part
  std::optional<units::Mass> tolerance;
};

struct PartCost {
  double cost_per_kg = 0.0;  // currency units
  double factor = 0.0;       // cost per kg / purchase price per kg
  double CostOf(units::Mass portion) const { return cost_per_kg * portion.grams() / 1000.0; }
};

struct YieldResult {
  double purchase_cost = 0.0;  // currency units
  double credit = 0.0;
  double main_value = 0.0;  // purchase cost - credit
  units::Mass main;
  units::Mass by_products;
  units::Mass losses;
  units::Mass difference;  // sum of parts - purchased, within the tolerance
  double yield = 0.0;      // main / purchased
  PartCost with_credit;
  PartCost without_credit;
};

Result<YieldResult> EvaluateYield(const YieldCard& card);

struct CookingCard {
  units::Mass raw;  // the main part as it went in
  units::Mass cooked;
  units::Mass trimmed_after;  // bones, ends and trim taken off the cooked meat
};

struct CookingResult {
  units::Mass loss;      // raw - cooked
  units::Mass saleable;  // cooked - trimmed after
  double loss_of_raw = 0.0;
  double yield = 0.0;  // saleable / purchased
  PartCost with_credit;
  PartCost without_credit;
};

// `raw` must be the test's main mass within the tolerance: the same piece, or its card is refused.
Result<CookingResult> EvaluateCooking(const YieldCard& card, const CookingCard& cooking);

struct PortionAtNewPrice {
  double by_factor = 0.0;  // factor x portion x price: by-products move with the price
  double exact = 0.0;      // credit stays as it was
};
PortionAtNewPrice PortionCostAt(const YieldCard& card, const YieldResult& result,
                                units::Mass portion, double new_price_per_kg);

// What to buy for `covers` portions at this yield, and how many whole pieces of that mass.
struct ToBuy {
  double kg = 0.0;
  std::int64_t pieces = 0;
};
Result<ToBuy> QuantityToBuy(std::int64_t covers, units::Mass portion, double yield,
                            units::Mass piece);

}  // namespace ribwright::costing
