// SPDX-License-Identifier: Apache-2.0
#include "ledger/mass_balance.h"

#include <gtest/gtest.h>

#include <cmath>

#include "base/golden.h"

namespace ribwright::ledger {
namespace {

using units::Mass;

Mass G(double grams) { return Mass::FromGrams(grams); }

TEST(WeighingTolerance, IsThePublishedTable) {
  const auto rows =
      ReadGolden(std::string(RIBWRIGHT_SOURCE_DIR) + "/tests/golden/weighing_tolerance.csv",
                 {{"mass_lb"}, {"division_lb"}});
  ASSERT_TRUE(rows) << rows.error().message << rows.error().where;
  for (const GoldenRow& row : *rows) {
    const Mass tolerance = WeighingTolerance(G(row.Number("mass_lb") * units::kGramsPerPound),
                                             G(row.Number("division_lb") * units::kGramsPerPound));
    EXPECT_TRUE(row.Near(tolerance.grams() / units::kGramsPerPound)) << row.id;
  }
}

TEST(WeighingTolerance, ChangesJustAboveEachStep) {
  EXPECT_EQ(WeighingTolerance(G(500), G(1)), G(1));
  EXPECT_EQ(WeighingTolerance(G(501), G(1)), G(2));
  EXPECT_EQ(WeighingTolerance(G(2000), G(1)), G(2));
  EXPECT_EQ(WeighingTolerance(G(4000), G(1)), G(3));
  EXPECT_EQ(WeighingTolerance(G(4001), G(1)), G(5));
}

TEST(Balance, ClosesWithinTheRootOfSquaresOfItsWeighings) {
  // 1 kg in (2 g), 600 g out (2 g), 390 g out (1 g), 10 g kerf (1 g): sqrt(10) = 3.162 g.
  const Mass in[] = {G(1000)};
  const Loss kerf[] = {{LossKind::kKerf, G(10)}};
  const ScaleNote scale{G(1), std::nullopt};
  const Mass out[] = {G(600), G(390)};
  const auto balance = BalanceOf(in, out, kerf, scale);
  ASSERT_TRUE(balance);
  EXPECT_NEAR(balance->tolerance.grams(), std::sqrt(10.0), 0.001);
  EXPECT_TRUE(RequireClosed(*balance, "cut"));
  const Mass more[] = {G(603.162), G(390)};
  EXPECT_TRUE(RequireClosed(*BalanceOf(in, more, kerf, scale), "cut"));
  const Mass too_much[] = {G(603.17), G(390)};
  const auto refused = RequireClosed(*BalanceOf(in, too_much, kerf, scale), "cut");
  ASSERT_FALSE(refused);
  EXPECT_EQ(refused.error().code, Code::kMassNotConserved);
  EXPECT_NE(refused.error().message.find("3.17 g too much came out"), std::string::npos)
      << refused.error().message;
}

TEST(Balance, SaysHowManyGramsAreMissing) {
  const Mass in[] = {G(5000)};
  const Mass out[] = {G(3000), G(1500)};
  const auto refused = RequireClosed(*BalanceOf(in, out, {}, {}), "cut");
  ASSERT_FALSE(refused);
  EXPECT_NE(refused.error().message.find("500 g are missing"), std::string::npos)
      << refused.error().message;
}

TEST(Balance, IsNotClosedByDecree) {
  const Mass in[] = {G(1000)};
  const Mass out[] = {G(800)};
  EXPECT_FALSE(BalanceOf(in, out, {}, {std::nullopt, G(101)}));
  EXPECT_TRUE(BalanceOf(in, out, {}, {std::nullopt, G(100)}));
  EXPECT_FALSE(BalanceOf(in, out, {}, {G(0), std::nullopt}));
  EXPECT_FALSE(BalanceOf(in, out, {}, {G(501), std::nullopt}));
}

}  // namespace
}  // namespace ribwright::ledger
