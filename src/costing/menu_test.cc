// SPDX-License-Identifier: Apache-2.0
// Prices, the menu's mix and the week's order.
#include <gtest/gtest.h>

#include <cmath>
#include <filesystem>
#include <map>

#include "base/csv.h"
#include "base/golden.h"
#include "costing/amount.h"
#include "costing/menu_mix.h"
#include "costing/menu_price.h"
#include "costing/week_order.h"
#include "math/rng.h"

namespace ribwright::costing {
namespace {

namespace fs = std::filesystem;
using units::Mass;

const units::Currency kEur = *units::Currency::FromText("EUR");
Measured Cost(double value, double low, double high) {
  return Measured::Of(value, low, high, "EUR/portion", "test");
}

std::map<std::string, std::vector<MenuDish>> Menus() {
  const auto table = CsvTable::Read(fs::path(RIBWRIGHT_SOURCE_DIR) / "tests/data/menus.csv");
  EXPECT_TRUE(table) << table.error().message;
  std::map<std::string, std::vector<MenuDish>> menus;
  for (std::size_t row = 0; row < table->rows(); ++row) {
    menus[table->Cell(row, 0)].push_back({table->Cell(row, 1), *table->Number(row, 2),
                                          *table->Number(row, 3), *table->Number(row, 4)});
  }
  return menus;
}

const DishMix& DishOf(const MenuMix& mix, const std::string& name) {
  for (const DishMix& dish : mix.dishes) {
    if (dish.name == name) return dish;
  }
  ADD_FAILURE() << "no dish " << name;
  return mix.dishes.front();
}

const std::vector<GoldenInput> kMenuInputs = {
    {"menu", CellKind::kText}, {"dish", CellKind::kText}, {"quantity", CellKind::kText}};

TEST(MenuMix, GivesThePublishedWorksheets) {
  const auto rows =
      ReadGolden(fs::path(RIBWRIGHT_SOURCE_DIR) / "tests/golden/menu_engineering.csv", kMenuInputs);
  ASSERT_TRUE(rows) << rows.error().message << rows.error().where;
  const auto menus = Menus();
  for (const GoldenRow& row : *rows) {
    const bool a = row.Text("menu") == "MA";
    const auto mix = EvaluateMenu(menus.at(row.Text("menu")));
    ASSERT_TRUE(mix);
    // The sources cut at 7.5 % of 7 items and at 0.80 / 12.
    const auto source = EvaluateMenu(menus.at(row.Text("menu")), a ? 0.525 : 0.80);
    std::map<std::string, double> all = {{"sold", mix->sold},
                                         {"margin", mix->margin},
                                         {"average_margin", mix->average_margin},
                                         {"revenue", mix->revenue},
                                         {"food_cost", mix->food_cost},
                                         {"food_cost_pct", mix->FoodCostPct()},
                                         {"cut_70_pct", 100.0 * mix->share_cut},
                                         {"cut_source_pct", 100.0 * source->share_cut}};
    if (row.Text("dish") != "all") {
      const DishMix& dish = DishOf(*mix, row.Text("dish"));
      all = {{"item_margin", dish.margin},
             {"share_pct", 100.0 * dish.share},
             {"margin_sold", dish.margin_sold}};
    }
    const double value = all.at(row.Text("quantity"));
    EXPECT_TRUE(row.Near(value)) << row.id << ": " << value << " for " << row.expected;
  }
}

TEST(MenuMix, ClassesFollowTheSeventyPercentRuleAndTheSourcesFollowTheirOwnCuts) {
  const auto rows = ReadGolden(fs::path(RIBWRIGHT_SOURCE_DIR) / "tests/golden/menu_classes.csv",
                               kMenuInputs, CellKind::kText);
  ASSERT_TRUE(rows) << rows.error().message << rows.error().where;
  const auto menus = Menus();
  for (const GoldenRow& row : *rows) {
    const bool source = row.Text("quantity") == "class_source";
    const double cut = !source ? 0.70 : row.Text("menu") == "MA" ? 0.525 : 0.80;
    const auto mix = EvaluateMenu(menus.at(row.Text("menu")), cut);
    ASSERT_TRUE(mix);
    EXPECT_EQ(DishOf(*mix, row.Text("dish")).RuleName(), row.expected) << row.id;
  }
}

TEST(MenuMix, ExampleAPrintsStarWhereTheSeventyPercentRuleGivesPuzzle) {
  const auto menus = Menus();
  const auto mix = EvaluateMenu(menus.at("MA"));
  ASSERT_TRUE(mix);
  EXPECT_EQ(DishOf(*mix, "Twisted chicken salad").RuleName(), "Puzzle");
  EXPECT_NE(MixSentence(DishOf(*mix, "Twisted chicken salad"), *mix).find("8.8 %"),
            std::string::npos);
}

TEST(MenuMix, TiesCountAsPopularAndAsEarning) {
  const auto mix =
      EvaluateMenu({{"a", 70, 10.1, 7.1}, {"b", 130, 13.3, 10.3}, {"c", 100, 6.2, 3.2}}, 0.70);
  ASSERT_TRUE(mix);
  EXPECT_TRUE(mix->dishes[0].popular);  // 70 / 300 = 0.70 / 3
  for (const DishMix& dish : mix->dishes) EXPECT_TRUE(dish.earns);
  EXPECT_FALSE(EvaluateMenu({}));
  EXPECT_FALSE(EvaluateMenu({{"a", 0, 10, 7}}));
  EXPECT_FALSE(EvaluateMenu({{"a", 5, 0, 7}}));
}

TEST(MenuPrice, RoundsOnceAtTheEnd) {
  // MP-1: 5.475 / 0.35 = 15.64; rounding the cost to 5.48 first gives 15.66.
  PriceRule rule;
  rule.target_food_cost = 0.35;
  const auto price = PriceDish(Cost(5.475, 5.0, 6.0), rule, {});
  ASSERT_TRUE(price) << price.error().message;
  EXPECT_EQ(price->menu.minor, 1564);
}

TEST(MenuPrice, StripAndChickenOfTheTextbook) {
  // MG-1 to MG-5 (dittmer-keefe): 23.65 at cost 7.50 and 16.45 at 5.20.
  const auto strip = JudgePrice(Cost(7.5, 7.5, 7.5), {}, {2365, kEur});
  const auto chicken = JudgePrice(Cost(5.2, 5.2, 5.2), {}, {1645, kEur});
  ASSERT_TRUE(strip);
  EXPECT_NEAR(*strip->margin.value, 16.15, 1e-9);
  EXPECT_NEAR(*chicken->margin.value, 11.25, 1e-9);  // a copy prints 1125
  EXPECT_NEAR(*strip->food_cost_pct.value, 31.712, 5e-4);
  EXPECT_NEAR(*chicken->food_cost_pct.value, 31.611, 5e-4);
}

TEST(MenuPrice, FoodCostIsTakenWithoutTaxAndService) {
  PriceRule rule;
  rule.target_food_cost = 0.30;
  rule.tax = 0.19;
  rule.service = 0.10;
  rule.menu_includes_service = true;
  const auto price = PriceDish(Cost(9.0, 8.0, 10.5), rule, {});
  ASSERT_TRUE(price);
  EXPECT_NEAR(price->exact, 9.0 / 0.30 * 1.1 * 1.19, 1e-9);
  EXPECT_NEAR(*price->food_cost_pct.value, 30.0, 0.01);
  EXPECT_LT(price->food_cost_pct.low, 30.0);
  EXPECT_NEAR(price->margin.low, price->net - 10.5, 1e-9);
  rule.menu_includes_tax = false;
  rule.menu_includes_service = false;
  EXPECT_EQ(PriceDish(Cost(9.0, 8.0, 10.5), rule, {})->menu.minor, 3000);
}

TEST(MenuPrice, EndingsRoundUpDownOrToTheNearest) {
  const auto round = [](std::int64_t price, Rounding how) {
    return RoundToEnding(price, {100, {0, 50, 90}, how});
  };
  EXPECT_EQ(round(1501, Rounding::kUp), 1550);
  EXPECT_EQ(round(1591, Rounding::kUp), 1600);
  EXPECT_EQ(round(1589, Rounding::kDown), 1550);
  EXPECT_EQ(round(1570, Rounding::kNearest), 1590);  // of equals the higher
  EXPECT_EQ(round(1569, Rounding::kNearest), 1550);
  EXPECT_EQ(round(1550, Rounding::kUp), 1550);
  EXPECT_EQ(RoundToEnding(1234, {}), 1234);
  EXPECT_EQ(RoundToEnding(3, {100, {90}, Rounding::kDown}), 90);  // never below zero
  PriceRule rule;
  rule.target_margin = 6.0;
  const auto price = PriceDish(Cost(9.0, 8.0, 10.0), rule, {100, {0, 50, 90}, Rounding::kUp});
  EXPECT_EQ(price->menu.minor, 1500);
}

TEST(MenuPrice, WhatCannotBePricedIsRefused) {
  PriceRule rule;
  EXPECT_FALSE(PriceDish(Cost(9, 8, 10), rule, {}));
  rule.target_food_cost = 0.3;
  rule.target_margin = 2.0;
  EXPECT_FALSE(PriceDish(Cost(9, 8, 10), rule, {}));
  rule.target_margin.reset();
  EXPECT_FALSE(PriceDish(Measured::Unknown("EUR", "no test"), rule, {}));
  EXPECT_FALSE(PriceDish(Cost(9, 8, 10), rule, {100, {100}, Rounding::kUp}));
  rule.tax = 1.2;
  EXPECT_FALSE(PriceDish(Cost(9, 8, 10), rule, {}));
}

TEST(MenuPrice, WhatIfFollowsTheElasticityAndItsInterval) {
  const auto elasticity = Measured::Of(-1.2, -2.0, -0.5, "1", "stated range");
  const auto what = ChangePrice(10.0, {}, {3000, kEur}, {3300, kEur}, 200.0, elasticity);
  ASSERT_TRUE(what) << what.error().message;
  EXPECT_NEAR(what->margin_now, 4000.0, 1e-9);
  EXPECT_NEAR(*what->portions.value, 200.0 * std::pow(1.1, -1.2), 1e-9);
  EXPECT_NEAR(what->portions.low, 200.0 * std::pow(1.1, -2.0), 1e-9);
  EXPECT_NEAR(*what->margin.value, *what->portions.value * 23.0, 1e-9);
  EXPECT_TRUE(what->margin.Valid());
  // Below cost the interval turns round and stays in order.
  const auto loss = ChangePrice(40.0, {}, {3000, kEur}, {3300, kEur}, 200.0, elasticity);
  EXPECT_TRUE(loss->margin.Valid());
  const auto rising = Measured::Of(0.5, -0.2, 1.0, "1", "x");
  EXPECT_FALSE(ChangePrice(10.0, {}, {3000, kEur}, {3300, kEur}, 200.0, rising));
}

WeekNeed Need() {
  WeekNeed need;
  need.dish = "rib steak";
  for (const double portions : {40.0, 52.0, 38.0, 61.0, 47.0, 55.0, 44.0, 50.0}) {
    need.history.push_back({400.0, portions});
  }
  need.covers = 480.0;
  need.short_cost = 16.0;
  need.over_cost = 9.0;
  need.raw_portion = Mass::FromGrams(320);
  need.yield = 0.62;
  need.piece = Mass::FromKilograms(8.2);
  return need;
}

TEST(WeekOrder, NoOtherOrderWouldHaveCostLess) {
  math::Rng rng(5);
  for (int turn = 0; turn < 60; ++turn) {
    WeekNeed need = Need();
    need.history.clear();
    for (int i = 0; i < 4 + turn % 20; ++i) {
      need.history.push_back({100.0, 1.0 + rng.Below(60)});
    }
    need.covers = 100.0;
    need.short_cost = rng.Uniform(0.0, 20.0);
    need.over_cost = rng.Uniform(0.1, 20.0);
    const auto order = OrderForWeek(need);
    ASSERT_TRUE(order) << order.error().message;
    for (int q = 0; q <= 70; ++q) {
      EXPECT_GE(MeanMissCost(need, q) + 1e-9, order->mean_cost) << turn << " " << q;
    }
  }
}

TEST(WeekOrder, TurnsPortionsIntoWholePiecesAndCountsStock) {
  const auto order = OrderForWeek(Need());
  ASSERT_TRUE(order);
  EXPECT_NEAR(order->critical_ratio, 0.64, 1e-9);
  EXPECT_EQ(order->portions, 63);  // the sixth of eight weeks, 52 x 1.2 = 62.4
  EXPECT_NEAR(order->kg, 63 * 0.32 / 0.62, 1e-9);
  EXPECT_EQ(order->pieces, 4);
  EXPECT_NEAR(order->odds_enough, 6.0 / 8.0, 1e-9);
  WeekNeed stocked = Need();
  stocked.stock_portions = 100;
  EXPECT_EQ(OrderForWeek(stocked)->pieces, 0);
  WeekNeed thin = Need();
  thin.history.resize(3);
  EXPECT_FALSE(OrderForWeek(thin));
}

}  // namespace
}  // namespace ribwright::costing
