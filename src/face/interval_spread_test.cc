// SPDX-License-Identifier: Apache-2.0
#include "face/interval_spread.h"

#include <gtest/gtest.h>

#include <cmath>

#include "face/interval_spread_fitted.h"

namespace ribwright::face {
namespace {

TEST(IntervalSpread, EveryFitGivesAValidIntervalThatEndsWhereTheQuantityDoes) {
  for (std::size_t i = 0; i < kSpreadRules.size(); ++i) {
    const auto what = static_cast<SpreadOf>(i);
    for (const double value : {0.0, 0.3, 7.0, 60.0}) {
      for (const double px_per_mm : {0.0, 4.0, 20.0}) {
        const Measured m =
            WithFittedInterval(what, Measured::Of(value, value, value, "u", "assumed"),
                               {px_per_mm, 0.04, 10.0, false, 0.3, 20.0});
        ASSERT_TRUE(m.Valid()) << kSpreadRules[i].name;
        EXPECT_LE(m.low, *m.value) << kSpreadRules[i].name;
        EXPECT_GE(m.high, *m.value) << kSpreadRules[i].name;
        EXPECT_GE(m.low, std::min(value, kSpreadRules[i].least)) << kSpreadRules[i].name;
        EXPECT_LE(m.high, std::max(value, kSpreadRules[i].most)) << kSpreadRules[i].name;
      }
    }
  }
}

TEST(IntervalSpread, IsTheFormulaOfTheHeader) {
  const SpreadCauses causes{12.0, 0.01, 4.0, true, 0.5, 3.0};
  for (std::size_t i = 0; i < kSpreadRules.size(); ++i) {
    const FittedSpread& fit = kFittedSpreads[i];
    const auto what = static_cast<SpreadOf>(i);
    const double value = 30.0;
    const Measured m =
        WithFittedInterval(what, Measured::Of(value, value, value, "u", "assumed"), causes);
    if (fit.cases == 0) {
      EXPECT_EQ(m.basis, "assumed");
      continue;
    }
    const double grows =
        kSpreadRules[i].floor > 0 ? std::pow(value + kSpreadRules[i].floor, fit.b[1]) : 1.0;
    const double scale = std::exp(fit.b[0]) * grows * std::pow(1.2, fit.b[2]) *
                         std::exp(0.2 * fit.b[3]) * std::pow(3.0, fit.b[4]) *
                         std::pow(0.5 / 2.8, fit.b[6]) * std::pow(4.0, fit.b[7]);
    const double moved = std::clamp(value - fit.middle * scale, kSpreadRules[i].least,
                                    std::max(value, kSpreadRules[i].most));
    EXPECT_NEAR(*m.value, moved, 1e-6);
    EXPECT_NEAR(m.low, std::clamp(value - fit.above * scale, kSpreadRules[i].least, moved), 1e-6);
    EXPECT_NEAR(m.high, std::max(moved, std::min(kSpreadRules[i].most, value - fit.below * scale)),
                1e-6);
    if (moved > kSpreadRules[i].least && moved < kSpreadRules[i].most) {
      EXPECT_NEAR(BeforeFit(what, *m.value, causes), value, 1e-6) << kSpreadRules[i].name;
    }
  }
}

TEST(IntervalSpread, AFaceStaysValid) {
  report::Face face;
  const auto known = [](double v, const char* unit) {
    return Measured::Of(v, v - 0.1, v + 0.1, unit, "assumed");
  };
  face.area = known(150, "cm2");
  face.lean_area = known(100, "cm2");
  face.fat_share_pct = known(30, "%");
  face.fat_to_lean = known(0.43, "ratio");
  face.marbling_pct = known(8, "%");
  face.cover.mean = known(6, "mm");
  face.cover.at_three_quarters = Measured::Unknown("mm", "bone there");
  for (report::Lab* lab : {&face.lean_colour, &face.fat_colour}) {
    lab->L = known(40, "1");
    lab->a = known(20, "1");
    lab->b = known(10, "1");
  }
  report::Muscle eye;
  eye.name = report::MuscleName::kLongissimus;
  eye.area = known(80, "cm2");
  eye.marbling_pct = known(7, "%");
  eye.flecks_per_cm2 = known(3, "1/cm2");
  eye.fleck_mm2_p50 = known(0.3, "mm2");
  eye.fleck_mm2_p90 = known(2, "mm2");
  eye.coarseness = known(20, "%");
  eye.evenness = known(3, "% points");
  face.muscles.push_back(eye);
  FitFaceIntervals(face, {11.0, 0.004, 2.0, true});
  for (const Measured* m :
       {&face.area, &face.lean_area, &face.fat_share_pct, &face.fat_to_lean, &face.marbling_pct,
        &face.cover.mean, &face.lean_colour.L, &face.fat_colour.b, &face.muscles[0].area,
        &face.muscles[0].marbling_pct, &face.muscles[0].fleck_mm2_p90}) {
    EXPECT_TRUE(m->Valid());
  }
  EXPECT_FALSE(face.cover.at_three_quarters.Known());
  EXPECT_NEAR(*face.muscles[0].marbling_pct.value, 7.0, 2.0);
  EXPECT_EQ(face.muscles[0].marbling_pct.unit, "%");
}

TEST(IntervalSpread, LeavesTheUnknownUnknown) {
  const Measured none =
      WithFittedInterval(SpreadOf::kEyeArea, Measured::Unknown("cm2", "no scale"), {});
  EXPECT_FALSE(none.Known());
  EXPECT_EQ(none.reason, "no scale");
}

}  // namespace
}  // namespace ribwright::face
