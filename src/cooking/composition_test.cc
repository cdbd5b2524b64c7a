// SPDX-License-Identifier: Apache-2.0
#include "cooking/composition.h"

#include <gtest/gtest.h>

#include <cmath>
#include <string>

#include "base/golden.h"

namespace ribwright::cooking {
namespace {

TEST(Composition, MixesAreThoseOfAnotherProgram) {
  const auto rows = ReadGolden(std::string(RIBWRIGHT_SOURCE_DIR) + "/tests/golden/cooking_mix.csv",
                               {{"water"},
                                {"protein"},
                                {"fat"},
                                {"carbohydrate"},
                                {"ash"},
                                {"temperature_c"},
                                {"quantity", CellKind::kText}});
  ASSERT_TRUE(rows) << rows.error().message << rows.error().where;
  for (const GoldenRow& row : *rows) {
    Composition c;
    c.water = row.Number("water");
    c.protein = row.Number("protein");
    c.fat = row.Number("fat");
    c.carbohydrate = row.Number("carbohydrate");
    c.ash = row.Number("ash");
    const auto p = PropertiesAt(Normalised(c), row.Number("temperature_c"));
    ASSERT_TRUE(p);
    const std::string& what = row.Text("quantity");
    const double value = what == "rho"          ? p->rho_kg_m3
                         : what == "cp"         ? p->cp_kj_kgk
                         : what == "k_parallel" ? p->k_parallel_w_mk
                         : what == "k_series"   ? p->k_series_w_mk
                                                : p->AlphaMm2S();
    EXPECT_TRUE(row.Near(value)) << row.id << " " << value;
  }
}

TEST(Composition, EachComponentsDiffusivityAgreesWithItsOwnPolynomial) {
  // The misprints in circulation break this by tens of per cent.
  for (const auto component : {Component::kWater, Component::kProtein, Component::kFat,
                               Component::kCarbohydrate, Component::kFibre, Component::kAsh}) {
    const AlphaPair pair = ComponentAlpha(component, 60.0);
    EXPECT_NEAR(pair.derived / pair.printed, 1.0, 0.035) << static_cast<int>(component);
  }
  const AlphaPair ice = ComponentAlpha(Component::kIce, -20.0);
  EXPECT_NEAR(ice.derived / ice.printed, 1.0, 0.035);
}

TEST(Composition, IceOfTheCarcassExample) {
  // 150 kg of carcass beef with 58 % water at -20 deg C: 52 % ice, 78 kg (ashrae-refrigeration,
  // memory).
  EXPECT_NEAR(IceFraction(0.58, -20.0, -1.7), 0.52, 0.005);
  EXPECT_EQ(IceFraction(0.58, -1.7, -1.7), 0.0);
}

TEST(Composition, BoundsHoldAndNonsenseIsRefused) {
  const auto c = CompositionFromFat(25.0);
  ASSERT_TRUE(c);
  const auto p = PropertiesAt(*c, 55.0);
  ASSERT_TRUE(p);
  EXPECT_LT(p->k_series_w_mk, p->k_parallel_w_mk);
  EXPECT_FALSE(CompositionFromFat(-1.0));
  EXPECT_FALSE(CompositionFromFat(std::nan("")));
  EXPECT_FALSE(PropertiesAt(*c, 151.0));
  EXPECT_FALSE(PropertiesAt(*c, std::nan("")));
  Composition wrong = *c;
  wrong.water += 0.1;
  const auto refused = PropertiesAt(wrong, 20.0);
  ASSERT_FALSE(refused);
  EXPECT_EQ(refused.error().code, Code::kCookUnusable);
}

}  // namespace
}  // namespace ribwright::cooking
