// SPDX-License-Identifier: Apache-2.0
#include "costing/rank.h"

#include <fmt/format.h>

#include <algorithm>
#include <limits>
#include <map>

#include "base/check.h"

namespace ribwright::costing {
namespace {

Status SameCurrency(const std::vector<const ServedChain*>& chains) {
  for (const ServedChain* chain : chains) {
    if (chain->currency == chains.front()->currency) continue;
    return Fail(Code::kCurrencyMixed, "Offers of two currencies would be compared.", chain->name,
                "Turn their prices into one currency first.");
  }
  return {};
}

StagePart* FindPart(ServedChain& chain, const std::string& stage, const std::string& part) {
  for (Stage& one : chain.stages) {
    if (one.name != stage) continue;
    for (StagePart& candidate : one.parts) {
      if (candidate.name == part) return &candidate;
    }
  }
  return nullptr;
}

// Gives `chain` the cause's parts of `from`; a part that one side lacks is no part there.
void TakeCause(ServedChain& chain, const ServedChain& from, const Cause& cause) {
  ServedChain source = from;
  for (const auto& [stage, name] : cause.parts) {
    StagePart* mine = FindPart(chain, stage, name);
    const StagePart* theirs = FindPart(source, stage, name);
    if (mine == nullptr && theirs == nullptr) continue;
    if (mine == nullptr) {
      for (Stage& one : chain.stages) {
        if (one.name == stage) one.parts.push_back(*theirs);
      }
    } else if (theirs == nullptr) {
      mine->share = Spread::Exact(0.0);
      mine->value_per_kg = Spread::Exact(0.0);
    } else {
      *mine = *theirs;
    }
  }
}

// The price at which `chain` costs `target` per served kg, at its middles.
double PriceFor(ServedChain chain, double target) {
  chain.price_per_kg = Spread::Exact(0.0);
  const double rest = CostPerKgAtMiddles(chain);
  chain.price_per_kg = Spread::Exact(1.0);
  const double per_price = CostPerKgAtMiddles(chain) - rest;
  return (target - rest) / per_price;
}

}  // namespace

Result<std::vector<RankedOffer>> RankOffers(const std::vector<ServedChain>& chains,
                                            const DrawPlan& plan) {
  std::vector<RankedOffer> ranked;
  if (chains.empty()) return ranked;
  std::vector<const ServedChain*> pointers;
  for (const ServedChain& chain : chains) pointers.push_back(&chain);
  if (const Status same = SameCurrency(pointers); !same) return Fail(same.error());
  const auto draws = static_cast<std::size_t>(std::max(plan.draws, 0));
  std::vector<double> lowest;
  std::vector<std::size_t> winner(draws, 0);
  struct Tie {
    std::size_t draw;
    std::size_t offer;
    double cost;
  };
  std::vector<Tie> ties;  // counts only where nobody went below it later
  for (std::size_t i = 0; i < chains.size(); ++i) {
    const auto drawn = DrawCosts(chains[i], plan);
    if (!drawn) return Fail(drawn.error());
    std::vector<double> costs(draws);
    for (std::size_t d = 0; d < draws; ++d) costs[d] = drawn->Cost(d);
    if (i == 0) lowest.assign(draws, std::numeric_limits<double>::infinity());
    for (std::size_t d = 0; d < draws; ++d) {
      if (costs[d] < lowest[d]) {
        lowest[d] = costs[d];
        winner[d] = i;
      } else if (costs[d] == lowest[d]) {
        ties.push_back({d, i, costs[d]});
      }
    }
    for (double& cost : costs) cost /= 10.0;
    ranked.push_back({i, chains[i].name, 0.0,
                      SummaryOf(costs, std::string(chains[i].currency.text()) + "/100 g",
                                fmt::format("{} draws of the chain", plan.draws))});
  }
  std::map<std::size_t, std::vector<std::size_t>> shared;
  for (const Tie& tie : ties) {
    if (tie.cost == lowest[tie.draw]) shared[tie.draw].push_back(tie.offer);
  }
  for (std::size_t d = 0; d < draws; ++d) {
    const auto it = shared.find(d);
    const double share =
        it == shared.end() ? 1.0 : 1.0 / static_cast<double>(it->second.size() + 1);
    ranked[winner[d]].odds_cheapest += share;
    if (it == shared.end()) continue;
    for (const std::size_t i : it->second) ranked[i].odds_cheapest += share;
  }
  for (RankedOffer& offer : ranked) offer.odds_cheapest /= static_cast<double>(draws);
  std::stable_sort(ranked.begin(), ranked.end(), [](const RankedOffer& a, const RankedOffer& b) {
    if (a.odds_cheapest != b.odds_cheapest) return a.odds_cheapest > b.odds_cheapest;
    return *a.per_100g.value < *b.per_100g.value;
  });
  return ranked;
}

Result<Measured> BreakEvenPrice(const ServedChain& a, const ServedChain& b, const DrawPlan& plan) {
  if (const Status same = SameCurrency({&a, &b}); !same) return Fail(same.error());
  const auto of_a = DrawCosts(a, plan);
  if (!of_a) return Fail(of_a.error());
  const auto of_b = DrawCosts(b, plan);
  if (!of_b) return Fail(of_b.error());
  std::vector<double> prices(of_a->rest.size());
  for (std::size_t d = 0; d < prices.size(); ++d) {
    prices[d] = (of_a->Cost(d) - of_b->rest[d]) / of_b->per_price[d];
  }
  return SummaryOf(prices, std::string(a.currency.text()) + "/kg",
                   fmt::format("{} draws of both chains", plan.draws));
}

Result<PriceDifference> ExplainDifference(const ServedChain& a, const ServedChain& b,
                                          const std::vector<Cause>& causes,
                                          const std::vector<StatedWorth>& stated) {
  if (const Status same = SameCurrency({&a, &b}); !same) return Fail(same.error());
  if (const Status fine = CheckChain(a); !fine) return Fail(fine.error());
  if (const Status fine = CheckChain(b); !fine) return Fail(fine.error());
  bool alike = a.stages.size() == b.stages.size() && causes.size() <= 8;
  for (std::size_t i = 0; alike && i < a.stages.size(); ++i) {
    alike = a.stages[i].name == b.stages[i].name;
  }
  if (!alike) {
    return Fail(Code::kDataUnusable, "The two chains do not have the same stages.", b.name,
                "Give both the same stages in the same order, and at most 8 causes.");
  }
  const double target = CostPerKgAtMiddles(a);
  const std::size_t sets = std::size_t{1} << causes.size();
  std::vector<double> price(sets);  // that A with B's parts of the set may cost
  for (std::size_t set = 0; set < sets; ++set) {
    ServedChain mixed = a;
    for (std::size_t c = 0; c < causes.size(); ++c) {
      if ((set >> c) & 1U) TakeCause(mixed, b, causes[c]);
    }
    for (const Stage& stage : mixed.stages) {
      double taken = 0.0;
      for (const StagePart& part : stage.parts) taken += part.share.mid;
      if (taken < 1.0) continue;
      return Fail(Code::kDataUnusable, "With the other's parts nothing of the piece is left.",
                  stage.name, "Compare offers whose parts are named alike.");
    }
    price[set] = PriceFor(mixed, target);
  }
  PriceDifference difference;
  difference.total_per_kg =
      (b.price_per_kg.mid + b.freight_per_kg.mid) - (a.price_per_kg.mid + a.freight_per_kg.mid);
  difference.unexplained_per_kg = difference.total_per_kg;
  std::vector<double> factorial(causes.size() + 1, 1.0);
  for (std::size_t i = 1; i < factorial.size(); ++i) {
    factorial[i] = factorial[i - 1] * static_cast<double>(i);
  }
  for (std::size_t c = 0; c < causes.size(); ++c) {
    double worth = 0.0;
    for (std::size_t set = 0; set < sets; ++set) {
      if ((set >> c) & 1U) continue;
      std::size_t size = 0;
      for (std::size_t k = 0; k < causes.size(); ++k) size += (set >> k) & 1U;
      const double weight =
          factorial[size] * factorial[causes.size() - size - 1] / factorial[causes.size()];
      worth += weight * (price[set | (std::size_t{1} << c)] - price[set]);
    }
    difference.parts.push_back({causes[c].name, worth, "the chains' middles"});
    difference.unexplained_per_kg -= worth;
  }
  for (const StatedWorth& one : stated) {
    difference.parts.push_back({one.name, one.per_kg, one.source});
    difference.unexplained_per_kg -= one.per_kg;
  }
  return difference;
}

std::vector<Cause> UsualCauses(const ServedChain& chain) {
  Cause bone{"bone", {}};
  Cause trim{"trim", {}};
  Cause shrink{"shrink", {}};
  Cause cooking{"cooking loss", {}};
  Cause other{"other steps", {}};
  for (const Stage& stage : chain.stages) {
    for (const StagePart& part : stage.parts) {
      const bool is_bone = part.name.find("bone") != std::string::npos;
      const bool is_shrink = stage.name == "purge" || stage.name == "ageing shrink";
      Cause& cause = is_bone                        ? bone
                     : stage.name == "trim"         ? trim
                     : is_shrink                    ? shrink
                     : stage.name == "cooking loss" ? cooking
                                                    : other;
      cause.parts.emplace_back(stage.name, part.name);
    }
  }
  std::vector<Cause> causes;
  for (Cause& cause : std::vector<Cause>{bone, trim, shrink, cooking, other}) {
    if (!cause.parts.empty()) causes.push_back(std::move(cause));
  }
  return causes;
}

}  // namespace ribwright::costing
