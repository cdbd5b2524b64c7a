// SPDX-License-Identifier: Apache-2.0
#include "costing/week_order.h"

#include <algorithm>
#include <cmath>

#include "costing/served_cost.h"

namespace ribwright::costing {
namespace {

std::vector<double> Demands(const WeekNeed& need) {
  std::vector<double> demands;
  for (const PastWeek& week : need.history) {
    demands.push_back(week.portions / week.covers * need.covers);
  }
  return demands;
}

}  // namespace

double MeanMissCost(const WeekNeed& need, double q) {
  double cost = 0.0;
  for (const double d : Demands(need)) {
    cost += d > q ? (d - q) * need.short_cost : (q - d) * need.over_cost;
  }
  return cost / static_cast<double>(need.history.size());
}

Result<WeekOrder> OrderForWeek(const WeekNeed& need) {
  const auto refuse = [&](std::string message, std::string mend) {
    return Fail(Code::kDataUnusable, std::move(message), need.dish, std::move(mend));
  };
  const auto amount = [](double x) { return std::isfinite(x) && x >= 0.0 && x < 1e7; };
  if (need.history.size() < 4) {
    return refuse("There are fewer than four past weeks.", "Book more weeks of sales first.");
  }
  for (const PastWeek& week : need.history) {
    if (!amount(week.portions) || !amount(week.covers) || week.covers <= 0.0) {
      return refuse("A past week has no covers, or portions below zero.", "Mend its numbers.");
    }
  }
  if (!amount(need.covers) || !amount(need.short_cost) || !amount(need.over_cost) ||
      need.short_cost + need.over_cost <= 0.0 || !amount(need.stock_portions) ||
      !(need.yield > 0.0 && need.yield <= 1.0) || need.raw_portion <= units::Mass() ||
      need.piece <= units::Mass()) {
    return refuse("A number cannot be used.",
                  "Give covers and costs of 0 or more (not both costs 0), yield 0 to 1, masses.");
  }
  WeekOrder order;
  order.dish = need.dish;
  order.supplier = need.supplier;
  order.critical_ratio = need.short_cost / (need.short_cost + need.over_cost);
  std::vector<double> demands = Demands(need);
  std::sort(demands.begin(), demands.end());
  const auto n = static_cast<double>(demands.size());
  std::size_t weeks = static_cast<std::size_t>(std::ceil(order.critical_ratio * n - 1e-9));
  weeks = std::clamp<std::size_t>(weeks, 1, demands.size());
  order.portions = static_cast<std::int64_t>(std::ceil(demands[weeks - 1] - 1e-9));
  const auto q = static_cast<double>(order.portions);
  order.mean_cost = MeanMissCost(need, q);
  order.odds_enough = static_cast<double>(std::count_if(demands.begin(), demands.end(),
                                                        [&](double d) { return d <= q + 1e-9; })) /
                      n;
  order.demand = SummaryOf(demands, "portions", "the house's past weeks, at these covers");
  const double wanted = std::max(0.0, q - need.stock_portions);
  order.kg = wanted * need.raw_portion.grams() / 1000.0 / need.yield;
  order.pieces =
      static_cast<std::int64_t>(std::ceil(order.kg * 1000.0 / need.piece.grams() - 1e-9));
  return order;
}

}  // namespace ribwright::costing
