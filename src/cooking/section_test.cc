// SPDX-License-Identifier: Apache-2.0
#include "cooking/section.h"

#include <gtest/gtest.h>

#include <cmath>

#include "cooking/series.h"

namespace ribwright::cooking {
namespace {

TEST(Section, MeetsTheProductOfSeriesForABrick) {
  const double k = 0.48, c = 3.6e6, half_x = 0.03, half_y = 0.02, h = 120.0;
  const Material m = Material::Constant(k, c);
  const Series x(Body::kSlab, h * half_x / k), y(Body::kSlab, h * half_y / k);
  HeatedSection section(m, 2 * half_x, 2 * half_y, 60, 40, 5.0);
  const auto around = Surroundings::Fluid(h, 60.0);
  double last = 0.0;
  for (const double seconds : {300.0, 900.0, 1800.0, 3600.0}) {
    section.Heat({around, around, around, around}, seconds - last,
                 static_cast<int>((seconds - last) / 10.0));
    last = seconds;
    const double at = k / c * seconds;
    // The middle lies between four cells, half a cell from each: compare there.
    const double exact = 60.0 - 55.0 * x.Theta(0.5 / 30.0, at / (half_x * half_x)) *
                                    y.Theta(0.5 / 20.0, at / (half_y * half_y));
    EXPECT_NEAR(section.Core(), exact, 0.05) << seconds;
  }
  EXPECT_NEAR(section.InflowJM(), section.StoredJM(), 1e-4 * section.StoredJM());
}

TEST(Section, AWideSectionIsASlab) {
  const Material m = Material::Constant(0.48, 3.6e6);
  HeatedSection section(m, 0.04, 0.03, 8, 30, 5.0);
  const auto held = Surroundings::Held(60.0), none = Surroundings::Insulated();
  section.Heat({none, none, held, held}, 600.0, 120);
  const double fo = 0.48 / 3.6e6 * 600.0 / (0.015 * 0.015);
  const double exact = 60.0 - 55.0 * Series(Body::kSlab, 1e12).Theta(0.5 / 15.0, fo);
  EXPECT_NEAR(section.Core(), exact, 0.05);
}

TEST(Section, BoneChangesTheMeatBesideIt) {
  const Material meat = *Material::Of(*CompositionFromFat(10.0));
  const Material bone = Material::Constant(0.35, 2.2e6);
  std::vector<unsigned char> mask(40 * 30, 0);
  for (std::size_t j = 0; j < 30; ++j) {
    for (std::size_t i = 0; i < 6; ++i) mask[j * 40 + i] = 1;
  }
  HeatedSection boned(meat, 0.08, 0.045, 40, 30, 5.0, mask, &bone);
  HeatedSection plain(meat, 0.08, 0.045, 40, 30, 5.0);
  const auto oven = Surroundings::Fluid(25.0, 150.0);
  for (auto* s : {&boned, &plain}) s->Heat({oven, oven, oven, oven}, 1200.0, 120);
  EXPECT_GT(std::fabs(boned.T(7, 15) - plain.T(7, 15)), 0.5);
  EXPECT_NEAR(boned.T(35, 15), plain.T(35, 15), 0.2);
  EXPECT_NEAR(plain.InflowJM(), plain.StoredJM(), 2e-3 * plain.StoredJM());
}

}  // namespace
}  // namespace ribwright::cooking
