// SPDX-License-Identifier: Apache-2.0
// Popularity and margin of the dishes of one category, by the published menu-engineering rule
// (kasavana-smith1982).
//
//   share = sold / all sold;  margin = price without tax - food cost
//   popular where share >= cut / N (cut 0.70 by the rule, a setting)
//   earns where margin >= average margin = sum(margin x sold) / all sold (weighted by sales)
// Ties count as popular, and as earning: at least, not more than. The rule's four names: popular
// and earning Star, popular only Plowhorse, earning only Puzzle, neither Dog. Prices and costs are
// amounts in currency units. Errors: kDataUnusable (no dish, nothing sold, numbers out of range).
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "base/result.h"

namespace ribwright::costing {

struct MenuDish {
  std::string name;
  double sold = 0.0;  // portions
  double price = 0.0;
  double food_cost = 0.0;
};

struct DishMix {
  std::string name;
  double share = 0.0;
  double margin = 0.0;       // a portion
  double margin_sold = 0.0;  // all portions
  bool popular = false;
  bool earns = false;
  std::string_view RuleName() const {
    return popular ? (earns ? "Star" : "Plowhorse") : (earns ? "Puzzle" : "Dog");
  }
};

struct MenuMix {
  double sold = 0.0;
  double revenue = 0.0;
  double food_cost = 0.0;
  double margin = 0.0;
  double average_margin = 0.0;
  double share_cut = 0.0;
  std::vector<DishMix> dishes;  // in the order given
  double FoodCostPct() const { return 100.0 * food_cost / revenue; }
};

Result<MenuMix> EvaluateMenu(const std::vector<MenuDish>& dishes, double cut = 0.70);

// One plain sentence for a dish: what it is and what could be tried.
std::string MixSentence(const DishMix& dish, const MenuMix& mix);

}  // namespace ribwright::costing
