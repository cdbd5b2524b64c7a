// SPDX-License-Identifier: Apache-2.0
#include "spread_fit.h"

#include <gtest/gtest.h>

#include <cmath>
#include <vector>

#include "face/interval_causes.h"
#include "math/rng.h"
#include "quantities.h"

namespace ribwright::bench {
namespace {

// Double-exponential errors of scale exp(a + b x) about `bias` scales.
std::vector<SpreadCase> Drawn(int n, double a, double b, double bias, std::uint64_t seed) {
  math::Rng rng(seed);
  std::vector<SpreadCase> cases;
  for (int i = 0; i < n; ++i) {
    SpreadCase c;
    c.causes = Eigen::Vector2d(1.0, rng.Uniform(-1, 1));
    const double scale = std::exp(a + b * c.causes[1]);
    const double size = -std::log(1.0 - rng.Uniform());
    c.truth = rng.Uniform(5, 10);
    c.value = c.truth + scale * (bias + (rng.Chance(0.5) ? size : -size));
    c.fold = i % 5;
    cases.push_back(c);
  }
  return cases;
}

TEST(SpreadFit, RecoversAKnownLawAndItsQuantiles) {
  const auto cases = Drawn(20000, -1.0, 0.8, 0.0, 5);
  const auto fit = FitSpread(cases, 0.0);
  ASSERT_TRUE(fit);
  EXPECT_NEAR(fit->b[0], -1.0, 0.03);
  EXPECT_NEAR(fit->b[1], 0.8, 0.04);
  // The 95th percentile of |error| with sign: log(10) scales.
  EXPECT_NEAR(fit->above, std::log(10.0), 0.1);
  EXPECT_NEAR(fit->below, -std::log(10.0), 0.1);
  EXPECT_EQ(fit->middle, 0.0) << "no bias, none taken off";
  const Held held = Holds(*fit, Drawn(20000, -1.0, 0.8, 0.0, 6));
  EXPECT_NEAR(held.covered_pct, 90.0, 1.0);
  EXPECT_NEAR(held.width_over_error, 2 * std::log(10.0), 0.2);
}

TEST(SpreadFit, TakesABiasWithIt) {
  const auto cases = Drawn(5000, 0.0, 0.0, 1.0, 7);
  const auto fit = FitSpread(cases, 1.0);
  ASSERT_TRUE(fit);
  const Held held = Holds(*fit, cases);
  EXPECT_NEAR(held.covered_pct, 90.0, 0.5);
  EXPECT_GT(fit->above, -fit->below + 1.0);
  EXPECT_NEAR(fit->middle * std::exp(fit->b[0]), 1.0, 0.1) << "taken off the value";
}

TEST(SpreadFit, WeightsLetAFewCasesCountAsMany) {
  auto cases = Drawn(2000, 0.0, 0.0, 0.0, 8);
  const auto few = Drawn(100, 1.5, 0.0, 0.0, 9);
  cases.insert(cases.end(), few.begin(), few.end());
  const auto plain = FitSpread(cases, 1.0);
  for (std::size_t i = 2000; i < cases.size(); ++i) cases[i].weight = 20.0;
  const auto weighed = FitSpread(cases, 1.0);
  ASSERT_TRUE(plain && weighed);
  EXPECT_LT(Holds(*plain, few).covered_pct, 75.0);
  EXPECT_GT(Holds(*weighed, few).covered_pct, 77.0);
}

TEST(SpreadFit, FaceAndBenchNameTheSameQuantitiesInTheSameOrder) {
  ASSERT_EQ(face::kSpreadRules.size(), Quantities().size());
  for (std::size_t i = 0; i < Quantities().size(); ++i) {
    EXPECT_EQ(face::kSpreadRules[i].name, Quantities()[i].name);
  }
}

TEST(SpreadFit, RefusesToFitAHandful) {
  EXPECT_FALSE(FitSpread(Drawn(19, 0.0, 0.0, 0.0, 1), 0.0));
  EXPECT_TRUE(FitSpread(Drawn(20, 0.0, 0.0, 0.0, 1), 1.0));
}

}  // namespace
}  // namespace ribwright::bench
