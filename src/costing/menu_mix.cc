// SPDX-License-Identifier: Apache-2.0
#include "costing/menu_mix.h"

#include <fmt/format.h>

#include <cmath>

#include "units/format.h"

namespace ribwright::costing {

Result<MenuMix> EvaluateMenu(const std::vector<MenuDish>& dishes, double cut) {
  const auto refuse = [](std::string message, std::string where) {
    return Fail(Code::kDataUnusable, std::move(message), std::move(where),
                "Give each dish portions sold of 0 or more, a price above 0 and its food cost.");
  };
  if (!(cut > 0.0 && cut <= 2.0)) return refuse("The cut is not between 0 and 2.", "menu");
  MenuMix mix;
  for (const MenuDish& dish : dishes) {
    const auto amount = [](double x) { return std::isfinite(x) && x >= 0.0 && x < 1e9; };
    if (!amount(dish.sold) || !amount(dish.price) || !amount(dish.food_cost) || dish.price == 0.0) {
      return refuse("A number cannot be used.", dish.name);
    }
    mix.sold += dish.sold;
    mix.revenue += dish.sold * dish.price;
    mix.food_cost += dish.sold * dish.food_cost;
  }
  if (mix.sold <= 0.0) return refuse("Nothing was sold.", "menu");
  mix.margin = mix.revenue - mix.food_cost;
  mix.average_margin = mix.margin / mix.sold;
  mix.share_cut = cut / static_cast<double>(dishes.size());
  // Ties must count although sums of cents are binary fractions.
  constexpr double kHair = 1e-9;
  for (const MenuDish& dish : dishes) {
    DishMix one;
    one.name = dish.name;
    one.share = dish.sold / mix.sold;
    one.margin = dish.price - dish.food_cost;
    one.margin_sold = one.margin * dish.sold;
    one.popular = one.share >= mix.share_cut - kHair;
    one.earns = one.margin >= mix.average_margin - kHair;
    mix.dishes.push_back(std::move(one));
  }
  return mix;
}

std::string MixSentence(const DishMix& dish, const MenuMix& mix) {
  const std::string share = units::Fixed(100.0 * dish.share, 1);
  const std::string cut = units::Fixed(100.0 * mix.share_cut, 1);
  const std::string margin = units::Fixed(dish.margin, 2);
  const std::string average = units::Fixed(mix.average_margin, 2);
  const char* try_this = dish.popular ? (dish.earns ? "Keep it as it is and keep it in sight."
                                                    : "Try a dearer price or a cheaper plate.")
                                      : (dish.earns ? "Sell it harder, or ask less for it."
                                                    : "Change it or take it off.");
  return fmt::format(
      "{}: {} % of portions ({} the cut of {} %), leaves {} ({} the average of {}). {}", dish.name,
      share, dish.popular ? "at or over" : "under", cut, margin,
      dish.earns ? "at or over" : "under", average, try_this);
}

}  // namespace ribwright::costing
