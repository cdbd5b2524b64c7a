// SPDX-License-Identifier: Apache-2.0
#include "costing/served_cost.h"

#include <gtest/gtest.h>

#include <boost/math/distributions/normal.hpp>
#include <cmath>
#include <filesystem>
#include <limits>

#include "base/golden.h"
#include "costing/published_yields.h"
#include "math/draws.h"

namespace ribwright::costing {
namespace {

namespace fs = std::filesystem;
using units::Mass;

Spread Doubt(double mid, double low, double high, std::string stream = {}) {
  return {mid, low, high, Origin::kAssumed, "test", std::move(stream)};
}

ServedChain RibChain() {
  ServedChain chain;
  chain.name = "rib";
  chain.purchased = Mass::FromKilograms(8.0);
  chain.price_per_kg = Spread::Exact(24.0);
  chain.freight_per_kg = Spread::Exact(0.4);
  chain.minutes = Doubt(25, 18, 40);
  chain.wage_per_hour = Spread::Exact(24.0);
  chain.days_held = Spread::Exact(28.0);
  chain.holding_per_kg_day = Spread::Exact(0.03);
  chain.stages = {
      {"purge", {{"purge", Doubt(0.006, 0.003, 0.012), Spread::Exact(0.0)}}},
      {"ageing shrink", {{"ageing shrink", Doubt(0.097, 0.07, 0.13), Spread::Exact(0.0)}}},
      {"trim",
       {{"bone", Doubt(0.10, 0.08, 0.13), Spread::Exact(1.2)},
        {"trim to grind", Doubt(0.05, 0.03, 0.08), Doubt(9.0, 8.0, 10.5)},
        {"waste", Doubt(0.15, 0.10, 0.20), Spread::Exact(0.0)}}},
      {"cooking loss", {{"cooking loss", Doubt(0.18, 0.14, 0.24), Spread::Exact(0.0)}}}};
  chain.portion = Mass::FromGrams(280);
  return chain;
}

TEST(Draws, AreUniformAndDependOnKeyAndPlaceOnly) {
  const std::uint64_t key = math::StreamKey(7, "trim");
  EXPECT_NE(key, math::StreamKey(7, "purge"));
  EXPECT_NE(key, math::StreamKey(8, "trim"));
  double sum = 0.0;
  double squares = 0.0;
  double lag = 0.0;
  constexpr int kDraws = 200'000;
  for (std::uint64_t i = 0; i < kDraws; ++i) {
    const double u = math::CounterUniform(key, i);
    ASSERT_GT(u, 0.0);
    ASSERT_LT(u, 1.0);
    sum += u;
    squares += u * u;
    lag += (u - 0.5) * (math::CounterUniform(key, i + 1) - 0.5);
  }
  EXPECT_NEAR(sum / kDraws, 0.5, 0.003);
  EXPECT_NEAR(squares / kDraws, 1.0 / 3.0, 0.003);
  EXPECT_NEAR(lag / kDraws, 0.0, 0.001);
}

TEST(Spread, ThreePointsAreItsQuantilesAndSharesStayBetweenZeroAndOne) {
  const Spread wide = Doubt(0.5, 0.05, 0.97);
  const DrawTable table(wide, Scale::kShare);
  EXPECT_NEAR(QuantileOf(wide, Scale::kShare, 0.05), 0.05, 1e-9);
  EXPECT_NEAR(QuantileOf(wide, Scale::kShare, 0.5), 0.5, 1e-9);
  EXPECT_NEAR(QuantileOf(wide, Scale::kShare, 0.95), 0.97, 1e-9);
  for (const double u : {1e-15, 0.01, 0.05, 0.3, 0.5, 0.77, 0.95, 0.999, 1.0 - 1e-15}) {
    const double x = table.At(u);
    EXPECT_GT(x, 0.0);
    EXPECT_LT(x, 1.0);
    if (u > 0.005 && u < 0.995) {
      EXPECT_NEAR(x, QuantileOf(wide, Scale::kShare, u), 2e-4);
    }
  }
}

TEST(Spread, WhatCannotBeDrawnIsRefusedAndNotCut) {
  const auto bad = [](double mid, double low, double high, Scale scale) {
    return !CheckSpread(Doubt(mid, low, high), scale, "x");
  };
  EXPECT_TRUE(bad(0.1, 0.0, 0.2, Scale::kShare));
  EXPECT_TRUE(bad(0.1, 0.05, 1.0, Scale::kShare));
  EXPECT_TRUE(bad(0.3, 0.4, 0.5, Scale::kShare));
  EXPECT_TRUE(bad(-1.0, -2.0, 3.0, Scale::kAmount));
  EXPECT_TRUE(bad(std::nan(""), 1.0, 3.0, Scale::kAmount));
  EXPECT_TRUE(bad(1.0, 1.0, 3.0, Scale::kAmount));
  EXPECT_TRUE(bad(1.0, 1.0, 1.0, Scale::kShare));
  EXPECT_FALSE(bad(0.0, 0.0, 0.0, Scale::kShare));
  EXPECT_FALSE(bad(30.0, 20.0, 50.0, Scale::kAmount));
}

TEST(ServedCost, ExactChainIsTheHandCalculation) {
  ServedChain chain;
  chain.name = "by hand";
  chain.purchased = Mass::FromKilograms(10.0);
  chain.price_per_kg = Spread::Exact(20.0);
  chain.minutes = Spread::Exact(30.0);
  chain.wage_per_hour = Spread::Exact(20.0);
  chain.days_held = Spread::Exact(10.0);
  chain.holding_per_kg_day = Spread::Exact(0.05);
  chain.stages = {{"trim",
                   {{"bone", Spread::Exact(0.2), Spread::Exact(1.0)},
                    {"grind", Spread::Exact(0.1), Spread::Exact(8.0)}}},
                  {"cooking loss", {{"cooking loss", Spread::Exact(0.2), Spread::Exact(0.0)}}}};
  chain.portion = Mass::FromGrams(200);
  const auto cost = ComputeServedCost(chain, {1, 1000, 1});
  ASSERT_TRUE(cost) << cost.error().message;
  // 200 + 10 + 5 - 2 - 8 = 205 over 10 x 0.7 x 0.8 = 5.6 kg.
  const double per_kg = 205.0 / 5.6;
  EXPECT_NEAR(*cost->per_100g.value, per_kg / 10.0, 1e-12);
  EXPECT_NEAR(cost->per_100g.low, cost->per_100g.high, 1e-12);
  EXPECT_NEAR(*cost->per_portion->value, per_kg / 5.0, 1e-12);
  EXPECT_NEAR(*cost->served_yield.value, 0.56, 1e-12);
  EXPECT_NEAR(CostPerKgAtMiddles(chain), per_kg, 1e-12);
  EXPECT_TRUE(cost->tornado.empty());
  // Waterfall: 20 meat, 1 labour, 0.5 holding; trim (21.5 - 1.0)/0.7 - 21.5; cooking the rest.
  ASSERT_EQ(cost->lines.size(), 6u);
  EXPECT_NEAR(cost->lines[4].per_kg, 20.5 / 0.7 - 21.5, 1e-9);
  EXPECT_NEAR(cost->lines[5].per_kg, 20.5 / 0.7 * 0.25, 1e-9);
}

TEST(ServedCost, LinesOfTheWaterfallSumToTheMeanCost) {
  const auto cost = ComputeServedCost(RibChain(), {5, 20'000, 2});
  ASSERT_TRUE(cost) << cost.error().message;
  double sum = 0.0;
  for (const CostLine& line : cost->lines) sum += line.per_kg;
  EXPECT_NEAR(sum, cost->mean_per_kg, 1e-9 * sum);
  EXPECT_LT(cost->per_100g.low, *cost->per_100g.value);
  EXPECT_LT(*cost->per_100g.value, cost->per_100g.high);
  EXPECT_TRUE(cost->per_100g.Valid());
  EXPECT_NEAR(*cost->per_100g.value, CostPerKgAtMiddles(RibChain()) / 10.0, 0.1);
}

TEST(ServedCost, IsTheSameOnAnyNumberOfThreads) {
  const auto one = DrawCosts(RibChain(), {9, 10'007, 1});
  ASSERT_TRUE(one);
  const auto lines_one = ComputeServedCost(RibChain(), {9, 10'007, 1});
  for (const int threads : {2, 3, 7}) {
    const auto many = DrawCosts(RibChain(), {9, 10'007, threads});
    EXPECT_EQ(one->per_price, many->per_price) << threads;
    EXPECT_EQ(one->rest, many->rest) << threads;
    const auto lines = ComputeServedCost(RibChain(), {9, 10'007, threads});
    for (std::size_t i = 0; i < lines->lines.size(); ++i) {
      EXPECT_EQ(lines->lines[i].per_kg, lines_one->lines[i].per_kg);
    }
  }
  EXPECT_NE(one->rest, DrawCosts(RibChain(), {10, 10'007, 1})->rest);
}

TEST(ServedCost, TornadoPutsTheWidestInputFirstAndGoesWithCommonSense) {
  const auto cost = ComputeServedCost(RibChain(), {1, 1000, 1});
  ASSERT_TRUE(cost);
  ASSERT_GE(cost->tornado.size(), 6u);
  for (std::size_t i = 1; i < cost->tornado.size(); ++i) {
    EXPECT_GE(cost->tornado[i - 1].Width(), cost->tornado[i].Width());
  }
  for (const CostSwing& swing : cost->tornado) {
    const bool value = swing.name.ends_with(", value");
    EXPECT_EQ(swing.at_high > swing.at_low, !value) << swing.name;  // dearer trim is a credit
  }
  EXPECT_NE(cost->tornado.back().name, cost->tornado.front().name);
}

TEST(ServedCost, SharedStreamsGiveSharedLuck) {
  ServedChain a = RibChain();
  ServedChain b = RibChain();
  b.name = "another offer";
  for (auto* chain : {&a, &b}) {
    for (Stage& stage : chain->stages) {
      for (StagePart& part : stage.parts) {
        part.share.stream = "house/" + part.name;
        part.value_per_kg.stream = "house/value/" + part.name;
      }
    }
    chain->minutes.stream = "house/minutes";
  }
  EXPECT_EQ(DrawCosts(a, {2, 500, 1})->rest, DrawCosts(b, {2, 500, 1})->rest);
  b.minutes.stream.clear();
  EXPECT_NE(DrawCosts(a, {2, 500, 1})->rest, DrawCosts(b, {2, 500, 1})->rest);
}

TEST(ServedCost, AStageThatCanTakeEverythingIsRefused) {
  ServedChain chain = RibChain();
  chain.stages[2].parts[0].share = Doubt(0.45, 0.2, 0.8);
  chain.stages[2].parts[2].share = Doubt(0.4, 0.2, 0.7);
  const auto cost = ComputeServedCost(chain, {1, 5000, 1});
  ASSERT_FALSE(cost);
  EXPECT_EQ(cost.error().code, Code::kDataUnusable);
  chain = RibChain();
  chain.purchased = Mass();
  EXPECT_FALSE(ComputeServedCost(chain, {1, 5000, 1}));
  EXPECT_FALSE(ComputeServedCost(RibChain(), {1, 10, 1}));
}

TEST(PublishedYields, SumsAreThoseOfTheSourceAndItsSlipsAreNotCopied) {
  const auto rows =
      ReadGolden(fs::path(RIBWRIGHT_SOURCE_DIR) / "tests/golden/cutting_yield_sums.csv",
                 {{"cut", CellKind::kText},
                  {"ageing", CellKind::kText},
                  {"days", CellKind::kNumber},
                  {"quantity", CellKind::kText}});
  ASSERT_TRUE(rows) << rows.error().message << rows.error().where;
  int slips = 0;
  for (const GoldenRow& row : *rows) {
    const int days = static_cast<int>(row.Number("days"));
    const std::string& quantity = row.Text("quantity");
    const std::string& cut = row.Text("cut");
    if (quantity == "wet_to_dry") {
      // The ratio of the printed totals; strip wet 28 prints the 21-day total again.
      const double ratio =
          SharesOf(cut, "wet", days)->Saleable() / SharesOf(cut, "dry", days)->Saleable();
      if (cut == "strip" && days >= 28) {
        EXPECT_FALSE(row.Near(ratio)) << row.id;
      } else {
        EXPECT_NEAR(ratio, row.ExpectedNumber(), 0.004) << row.id;
      }
      continue;
    }
    const auto shares = SharesOf(cut, row.Text("ageing"), days);
    ASSERT_TRUE(shares) << row.id;
    if (quantity == "listed") {
      EXPECT_TRUE(row.Near(shares->Listed())) << row.id << " " << shares->Listed();
    } else if (quantity == "saleable") {
      EXPECT_TRUE(row.Near(shares->Saleable())) << row.id << " " << shares->Saleable();
    } else {
      ++slips;
      EXPECT_FALSE(row.Near(shares->Saleable())) << row.id;
    }
  }
  EXPECT_EQ(slips, 8);
}

TEST(PublishedYields, StripWet28AddsTo697WhereTheSourcePrints729) {
  EXPECT_NEAR(SharesOf("strip", "wet", 28)->Saleable(), 69.7, 1e-9);
}

TEST(PublishedYields, TopSirloinTotalsAreTheSumsOfTheirPartsNotThePrintedTotals) {
  EXPECT_NEAR(SharesOf("sirloin", "dry", 14)->Saleable(), 57.8, 1e-9);
  EXPECT_NEAR(SharesOf("sirloin", "wet", 35)->Saleable(), 71.46, 1e-9);
}

TEST(PublishedYields, StagesLeaveTheSteaksOfTheTable) {
  for (const char* cut : {"rib", "strip", "sirloin"}) {
    for (const char* ageing : {"wet", "dry"}) {
      for (const int days : {14, 21, 28, 35}) {
        const auto stages = PublishedStages(cut, ageing, days);
        ASSERT_TRUE(stages);
        double left = 1.0;
        for (const Stage& stage : *stages) {
          double taken = 0.0;
          for (const StagePart& part : stage.parts) taken += part.share.mid;
          left *= 1.0 - taken;
        }
        EXPECT_NEAR(100.0 * left, SharesOf(cut, ageing, days)->steaks, 1e-9);
      }
    }
  }
  EXPECT_FALSE(PublishedStages("rib", "dry", 15));
}

TEST(PublishedYields, CookingLossIsOneLessTheYield) {
  const auto stage = PublishedCooking("rib eye", "grilled");
  ASSERT_TRUE(stage);
  EXPECT_NEAR(stage->parts[0].share.mid, 0.17, 1e-12);
  EXPECT_FALSE(PublishedCooking("rib eye", "boiled"));
}

}  // namespace
}  // namespace ribwright::costing
