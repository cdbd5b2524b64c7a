// SPDX-License-Identifier: Apache-2.0
// Offers against each other, on the plate: which is likely cheapest, and why one costs more.
//
// Rank: every offer's chain (served_cost.h) is drawn with the same plan; in each draw the offer
// with the lowest cost per served kg wins (ties share the win). Odds of cheapest = share of wins.
// Inputs that belong to the kitchen (cooking loss, minutes, wage) should carry a common stream, so
// that a hot grill does not count for or against one offer.
//
// Break-even: cost per served kg is price x k + rest in every draw, so the price of B at which both
// cost the same is (cost_A - rest_B) / k_B: a number a draw, summed up as median and interval. A
// break-even below zero is reported as such: at no price does B match A.
//
// Difference taken apart: price_B - price_A, per kg as purchased. Each cause (bone, trim, shrink,
// ...) is a set of stage parts that B has otherwise than A. What a cause is worth is the price
// change that keeps A's served cost when A gets B's parts of that cause; causes are exchanged in
// all orders and averaged (shapley1953), so that their sum does not depend on an order. `stated`
// values (what a grade is worth per kg, from a market report) come beside; the rest stays
// unexplained, and says so. At the middles of all inputs. Errors: kDataUnusable, kCurrencyMixed.
// Thread-safe.
#pragma once

#include <string>
#include <vector>

#include "base/result.h"
#include "costing/served_cost.h"

namespace ribwright::costing {

struct RankedOffer {
  std::size_t index = 0;  // in the list that was given
  std::string name;
  double odds_cheapest = 0.0;
  Measured per_100g;
};

// Most likely cheapest first (of equals the lower median).
Result<std::vector<RankedOffer>> RankOffers(const std::vector<ServedChain>& chains,
                                            const DrawPlan& plan);

// Of B against A; unit "EUR/kg".
Result<Measured> BreakEvenPrice(const ServedChain& a, const ServedChain& b, const DrawPlan& plan);

struct Cause {
  std::string name;                                        // "bone"
  std::vector<std::pair<std::string, std::string>> parts;  // (stage, part)
};
struct StatedWorth {
  std::string name;  // "grade"
  double per_kg = 0.0;
  std::string source;
};
struct ExplainedPart {
  std::string name;
  double per_kg = 0.0;
  std::string source;
};
struct PriceDifference {
  double total_per_kg = 0.0;  // B - A, landed
  std::vector<ExplainedPart> parts;
  double unexplained_per_kg = 0.0;
};
// At most 8 causes. Stages are matched by name; both chains must have the same ones in order.
Result<PriceDifference> ExplainDifference(const ServedChain& a, const ServedChain& b,
                                          const std::vector<Cause>& causes,
                                          const std::vector<StatedWorth>& stated);

// bone; trim (all other parts of "trim"); shrink (purge and ageing shrink); cooking loss; as far as
// the chain has them.
std::vector<Cause> UsualCauses(const ServedChain& chain);

}  // namespace ribwright::costing
