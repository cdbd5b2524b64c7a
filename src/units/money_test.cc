// SPDX-License-Identifier: Apache-2.0
#include "units/money.h"

#include <gtest/gtest.h>

#include "base/check.h"
#include "math/rng.h"

namespace ribwright::units {
namespace {

Currency Of(std::string_view text) { return *Currency::FromText(text); }

TEST(Currency, TakesThreeCapitalLettersOnly) {
  EXPECT_TRUE(Currency::FromText("EUR"));
  for (const char* text : {"", "EU", "EURO", "eur", "E1R", "E R"}) {
    EXPECT_FALSE(Currency::FromText(text)) << text;
  }
}

TEST(Money, IsShownWithTheDecimalsOfItsCurrency) {
  EXPECT_EQ(MoneyText({1234, Of("EUR")}), "EUR 12.34");
  EXPECT_EQ(MoneyText({-5, Of("EUR")}), "EUR -0.05");
  EXPECT_EQ(MoneyText({1200, Of("JPY")}), "JPY 1200");
  EXPECT_EQ(MoneyText({1, Of("KWD")}), "KWD 0.001");
}

TEST(Money, OfTwoCurrenciesIsNeverAdded) {
  EXPECT_THROW((Money{1, Of("EUR")} + Money{1, Of("USD")}), LogicError);
}

TEST(SplitMoney, GivesTheUnitsLeftOverToTheLargestRemainders) {
  // 100 by 1:1:1 leaves one unit, by 2:3:5 none; 10 by 33:33:34 is 3.3, 3.3, 3.4.
  const std::int64_t thirds[] = {1, 1, 1};
  const auto a = SplitMoney({100, Of("EUR")}, thirds);
  EXPECT_EQ(a[0].minor, 34);
  EXPECT_EQ(a[1].minor, 33);
  EXPECT_EQ(a[2].minor, 33);
  const std::int64_t uneven[] = {33, 33, 34};
  const auto b = SplitMoney({10, Of("EUR")}, uneven);
  EXPECT_EQ(b[0].minor, 3);
  EXPECT_EQ(b[2].minor, 4);
}

TEST(SplitMoney, LosesNothingAndIsNeverAUnitOff) {
  math::Rng rng(7);
  for (int round = 0; round < 500; ++round) {
    std::vector<std::int64_t> weights(1 + rng.Below(20));
    std::int64_t sum = 0;
    for (auto& weight : weights) sum += weight = rng.Below(5'000'000);
    weights.front() += 1;
    sum += 1;
    const Money total{static_cast<std::int64_t>(rng.Below(2'000'000)) - 1'000'000, Of("USD")};
    std::int64_t back = 0;
    const auto shares = SplitMoney(total, weights);
    for (std::size_t i = 0; i < shares.size(); ++i) {
      back += shares[i].minor;
      const double exact = static_cast<double>(total.minor) * static_cast<double>(weights[i]) /
                           static_cast<double>(sum);
      EXPECT_LT(std::abs(static_cast<double>(shares[i].minor) - exact), 1.0 + 1e-9);
    }
    EXPECT_EQ(back, total.minor);
  }
}

TEST(ShareOf, RoundsToTheNearestUnit) {
  EXPECT_EQ(ShareOf({101, Of("EUR")}, 1, 2).minor, 51);
  EXPECT_EQ(ShareOf({-101, Of("EUR")}, 1, 2).minor, -51);
  EXPECT_EQ(ShareOf({100, Of("EUR")}, 1, 3).minor, 33);
  EXPECT_THROW(ShareOf({100, Of("EUR")}, 4, 3), LogicError);
}

}  // namespace
}  // namespace ribwright::units
