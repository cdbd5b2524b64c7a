// SPDX-License-Identifier: Apache-2.0
#include "costing/rank.h"

#include <gtest/gtest.h>

#include <cmath>

namespace ribwright::costing {
namespace {

using units::Mass;

ServedChain Offer(const std::string& name, double price, double bone, double waste) {
  ServedChain chain;
  chain.name = name;
  chain.purchased = Mass::FromKilograms(8.0);
  chain.price_per_kg = Spread::Exact(price);
  const auto around = [](double mid, std::string stream) {
    return Spread{mid, mid * 0.8, mid * 1.2, Origin::kAssumed, "test", std::move(stream)};
  };
  chain.stages = {{"trim",
                   {{"bone", around(bone, ""), Spread::Exact(1.0)},
                    {"waste", around(waste, ""), Spread::Exact(0.0)}}},
                  {"cooking loss", {{"cooking loss", around(0.2, "kitchen"), Spread::Exact(0.0)}}}};
  return chain;
}

TEST(RankOffers, OddsSumToOneAndTheDearestLoses) {
  const auto ranked = RankOffers(
      {Offer("a", 24, 0.15, 0.10), Offer("b", 31, 0.02, 0.08), Offer("c", 40, 0.15, 0.10)},
      {3, 10'000, 1});
  ASSERT_TRUE(ranked) << ranked.error().message;
  double sum = 0.0;
  for (const RankedOffer& offer : *ranked) sum += offer.odds_cheapest;
  EXPECT_NEAR(sum, 1.0, 1e-9);
  EXPECT_EQ((*ranked)[2].name, "c");
  EXPECT_EQ((*ranked)[2].odds_cheapest, 0.0);
  EXPECT_EQ((*ranked)[0].name, "a");
}

TEST(RankOffers, EqualOffersShareTheOdds) {
  const ServedChain same = Offer("twin", 24, 0.15, 0.10);
  const auto ranked = RankOffers({same, same, same, same}, {3, 1000, 1});
  ASSERT_TRUE(ranked);
  for (const RankedOffer& offer : *ranked) EXPECT_NEAR(offer.odds_cheapest, 0.25, 1e-12);
  // Two different offers of the same law are each cheapest half the time.
  const auto half =
      RankOffers({Offer("x", 24, 0.15, 0.1), Offer("y", 24, 0.15, 0.1)}, {3, 20'000, 1});
  EXPECT_NEAR((*half)[0].odds_cheapest, 0.5, 0.015);
}

TEST(RankOffers, TwoCurrenciesAreNotCompared) {
  ServedChain dollars = Offer("d", 24, 0.15, 0.1);
  dollars.currency = *units::Currency::FromText("USD");
  const auto ranked = RankOffers({Offer("e", 24, 0.15, 0.1), dollars}, {1, 1000, 1});
  ASSERT_FALSE(ranked);
  EXPECT_EQ(ranked.error().code, Code::kCurrencyMixed);
}

TEST(BreakEven, AtThatPriceBothCostTheSame) {
  const ServedChain a = Offer("a", 24, 0.15, 0.10);
  ServedChain b = Offer("b", 31, 0.02, 0.08);
  const auto price = BreakEvenPrice(a, b, {5, 20'001, 1});
  ASSERT_TRUE(price);
  EXPECT_GT(*price->value, 24.0);
  EXPECT_LT(price->low, price->high);
  b.price_per_kg = Spread::Exact(*price->value);
  const auto ranked = RankOffers({a, b}, {5, 20'001, 1});
  EXPECT_NEAR((*ranked)[0].odds_cheapest, 0.5, 1e-3);  // the median price splits the draws
}

TEST(ExplainDifference, PartsAndTheUnexplainedSumToTheDifference) {
  const ServedChain a = Offer("a", 24, 0.15, 0.10);
  const ServedChain b = Offer("b", 31, 0.02, 0.08);
  const auto d = ExplainDifference(a, b, UsualCauses(a), {{"grade", 1.1, "market report"}});
  ASSERT_TRUE(d) << d.error().message;
  EXPECT_DOUBLE_EQ(d->total_per_kg, 7.0);
  double sum = d->unexplained_per_kg;
  for (const ExplainedPart& part : d->parts) sum += part.per_kg;
  EXPECT_NEAR(sum, 7.0, 1e-9);
  EXPECT_EQ(d->parts[0].name, "bone");
  EXPECT_GT(d->parts[0].per_kg, d->parts[1].per_kg);
  EXPECT_NEAR(d->parts[2].per_kg, 0.0, 1e-9);  // the same grill
}

TEST(ExplainDifference, AFairPriceIsExplainedWholly) {
  const ServedChain a = Offer("a", 24, 0.15, 0.10);
  ServedChain b = Offer("b", 1.0, 0.02, 0.08);
  const double cost_a = CostPerKgAtMiddles(a);
  b.price_per_kg = Spread::Exact(0.0);
  const double rest = CostPerKgAtMiddles(b);
  b.price_per_kg = Spread::Exact(1.0);
  b.price_per_kg = Spread::Exact((cost_a - rest) / (CostPerKgAtMiddles(b) - rest));
  const auto d = ExplainDifference(a, b, UsualCauses(a), {});
  ASSERT_TRUE(d);
  EXPECT_NEAR(d->unexplained_per_kg, 0.0, 1e-9);
}

}  // namespace
}  // namespace ribwright::costing
