// SPDX-License-Identifier: Apache-2.0
#include "costing/menu_price.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/check.h"
#include "costing/amount.h"

namespace ribwright::costing {
namespace {

tl::unexpected<Error> Unusable(std::string message, std::string mend) {
  return Fail(Code::kDataUnusable, std::move(message), "price", std::move(mend));
}

Status CheckRule(const PriceRule& rule) {
  if (!(rule.tax >= 0.0 && rule.tax < 1.0 && rule.service >= 0.0 && rule.service < 1.0)) {
    return Unusable("Tax or service is not between 0 and 100 %.", "Give shares as 0 to below 1.");
  }
  return {};
}

double MenuPerNet(const PriceRule& rule) {
  return (rule.menu_includes_service ? 1.0 + rule.service : 1.0) *
         (rule.menu_includes_tax ? 1.0 + rule.tax : 1.0);
}

}  // namespace

std::int64_t RoundToEnding(std::int64_t price_minor, const MenuEndings& endings) {
  RIBWRIGHT_CHECK(price_minor >= 0 && endings.step > 0);
  if (endings.endings.empty()) return price_minor;
  const std::int64_t whole = price_minor / endings.step * endings.step;
  std::optional<std::int64_t> up;
  std::optional<std::int64_t> down;
  for (const std::int64_t ending : endings.endings) {
    RIBWRIGHT_CHECK(ending >= 0 && ending < endings.step);
    for (const std::int64_t base : {whole - endings.step, whole, whole + endings.step}) {
      const std::int64_t candidate = base + ending;
      if (candidate >= price_minor && (!up || candidate < *up)) up = candidate;
      if (candidate >= 0 && candidate <= price_minor && (!down || candidate > *down)) {
        down = candidate;
      }
    }
  }
  if (endings.rounding == Rounding::kUp || !down) return *up;
  if (endings.rounding == Rounding::kDown) return *down;
  return *up - price_minor <= price_minor - *down ? *up : *down;
}

Result<MenuPrice> JudgePrice(const Measured& portion_cost, const PriceRule& rule,
                             const units::Money& menu) {
  if (const Status fine = CheckRule(rule); !fine) return Fail(fine.error());
  if (!portion_cost.Valid() || !portion_cost.Known() || portion_cost.low <= 0.0) {
    return Unusable("The portion's cost is not above zero.", "Cost the plate first.");
  }
  if (menu.minor <= 0) return Unusable("The menu price is not above zero.", "Give a price.");
  MenuPrice price;
  price.menu = menu;
  price.exact = AmountOf(menu);
  price.net = price.exact / MenuPerNet(rule);
  const Measured& c = portion_cost;
  price.food_cost_pct = Measured::Of(100.0 * *c.value / price.net, 100.0 * c.low / price.net,
                                     100.0 * c.high / price.net, "%", c.basis);
  price.margin = Measured::Of(price.net - *c.value, price.net - c.high, price.net - c.low,
                              std::string(menu.currency.text()), c.basis);
  return price;
}

Result<MenuPrice> PriceDish(const Measured& portion_cost, const PriceRule& rule,
                            const MenuEndings& endings) {
  if (const Status fine = CheckRule(rule); !fine) return Fail(fine.error());
  if (rule.target_food_cost.has_value() == rule.target_margin.has_value()) {
    return Unusable("There must be one target.", "Give a food cost in percent, or a margin.");
  }
  if (rule.target_food_cost && !(*rule.target_food_cost > 0.0 && *rule.target_food_cost <= 1.0)) {
    return Unusable("The target food cost is not between 0 and 100 %.", "Give, say, 0.35.");
  }
  if (rule.target_margin && !(std::isfinite(*rule.target_margin) && *rule.target_margin >= 0.0)) {
    return Unusable("The target margin is below zero.", "Give what each portion should leave.");
  }
  if (!portion_cost.Valid() || !portion_cost.Known() || portion_cost.low <= 0.0) {
    return Unusable("The portion's cost is not above zero.", "Cost the plate first.");
  }
  for (const std::int64_t ending : endings.endings) {
    if (endings.step <= 0 || ending < 0 || ending >= endings.step) {
      return Unusable("A menu ending lies outside its step.", "Give endings from 0 to below 1.");
    }
  }
  const double net = rule.target_food_cost ? *portion_cost.value / *rule.target_food_cost
                                           : *portion_cost.value + *rule.target_margin;
  const double exact = net * MenuPerNet(rule);
  if (!(exact < 1e9)) return Unusable("The price is out of all proportion.", "Check the cost.");
  // A price a hair above an ending by rounding of binary fractions is that ending.
  const double minor = exact * MinorPerUnit(rule.currency);
  const auto ceiled = static_cast<std::int64_t>(std::ceil(minor - 1e-7));
  const std::int64_t whole =
      endings.endings.empty() || endings.rounding == Rounding::kNearest ? std::llround(minor)
      : endings.rounding == Rounding::kUp                               ? ceiled
                                          : static_cast<std::int64_t>(std::floor(minor + 1e-7));
  auto price = JudgePrice(portion_cost, rule, {RoundToEnding(whole, endings), rule.currency});
  if (price) price->exact = exact;
  return price;
}

Result<WhatIf> ChangePrice(double portion_cost, const PriceRule& rule, const units::Money& now,
                           const units::Money& then, double portions, const Measured& elasticity) {
  if (const Status fine = CheckRule(rule); !fine) return Fail(fine.error());
  if (!(now.currency == then.currency)) {
    return Fail(Code::kCurrencyMixed, "The two prices have two currencies.", "price",
                "Give both in one.");
  }
  if (now.minor <= 0 || then.minor <= 0 || !(portions >= 0.0 && portions < 1e9) ||
      !(portion_cost >= 0.0 && portion_cost < 1e9)) {
    return Unusable("Prices, portions or cost cannot be used.", "Give prices above zero.");
  }
  if (!elasticity.Valid() || !elasticity.Known() || elasticity.high >= 0.0 ||
      elasticity.low < -20.0) {
    return Unusable("The elasticity's interval does not lie between -20 and 0.",
                    "Give the house's measured range; dearer dishes sell less.");
  }
  const double ratio = AmountOf(then) / AmountOf(now);
  const double net_now = AmountOf(now) / MenuPerNet(rule);
  const double net_then = AmountOf(then) / MenuPerNet(rule);
  const auto sold = [&](double e) { return portions * std::pow(ratio, e); };
  const auto in_order = [](double value, double a, double b, std::string unit, std::string basis) {
    return Measured::Of(value, std::min({value, a, b}), std::max({value, a, b}), std::move(unit),
                        std::move(basis));
  };
  WhatIf what;
  what.margin_now = portions * (net_now - portion_cost);
  const double each = net_then - portion_cost;
  const double mid = sold(*elasticity.value);
  const double low = sold(elasticity.low);
  const double high = sold(elasticity.high);
  what.portions = in_order(mid, low, high, "portions", elasticity.basis);
  what.margin = in_order(mid * each, low * each, high * each, std::string(now.currency.text()),
                         elasticity.basis);
  return what;
}

}  // namespace ribwright::costing
