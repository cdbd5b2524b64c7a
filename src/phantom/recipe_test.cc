// SPDX-License-Identifier: Apache-2.0
#include "phantom/recipe.h"

#include <gtest/gtest.h>

#include <array>

namespace ribwright::phantom {
namespace {

constexpr int kSeeds = 4000;

TEST(Recipe, MixedDrawsMarblingAndCutsInTheStatedShares) {
  std::array<int, 5> bands{};
  std::array<int, 3> cuts{};
  int lines = 0;
  for (std::uint64_t seed = 0; seed < kSeeds; ++seed) {
    const Recipe r = DrawRecipe(seed);
    const double pct = 100.0 * r.eye_marbling;
    EXPECT_GT(pct, 0.0);
    EXPECT_LE(pct, 55.0);
    ++bands[pct < 4 ? 0 : pct < 10 ? 1 : pct < 20 ? 2 : pct < 35 ? 3 : 4];
    ++cuts[static_cast<std::size_t>(r.cut)];
    lines += r.connective_lines > 0 ? 1 : 0;
  }
  // Four standard deviations of a binomial share of 4 000 are at most 3.2 points.
  const std::array<double, 5> wanted{20, 30, 25, 15, 10};
  for (std::size_t i = 0; i < 5; ++i) EXPECT_NEAR(100.0 * bands[i] / kSeeds, wanted[i], 3.2);
  const std::array<double, 3> cut_shares{60, 25, 15};
  for (std::size_t i = 0; i < 3; ++i) EXPECT_NEAR(100.0 * cuts[i] / kSeeds, cut_shares[i], 3.2);
  EXPECT_NEAR(100.0 * lines / kSeeds, 70.0, 3.2);
}

TEST(Recipe, MixedStaysInsideTheStatedRangesAndReachesTheirEnds) {
  double low_px = 99, high_px = 0, low_tilt = 99, high_tilt = 0, low_blur = 99, high_blur = 0,
         high_glare = 0, high_fall = 0;
  int low_q = 100, high_q = 0;
  for (std::uint64_t seed = 0; seed < kSeeds; ++seed) {
    const Recipe r = DrawRecipe(seed);
    low_px = std::min(low_px, r.px_per_mm), high_px = std::max(high_px, r.px_per_mm);
    low_tilt = std::min(low_tilt, r.tilt_deg), high_tilt = std::max(high_tilt, r.tilt_deg);
    low_blur = std::min(low_blur, r.blur_sigma_px),
    high_blur = std::max(high_blur, r.blur_sigma_px);
    high_glare = std::max(high_glare, r.glare_share), high_fall = std::max(high_fall, r.falloff);
    low_q = std::min(low_q, r.jpeg_quality), high_q = std::max(high_q, r.jpeg_quality);
    EXPECT_TRUE(r.card);
    EXPECT_GE(r.thickness_mm, 15.0);
    EXPECT_LE(r.thickness_mm, 60.0);
  }
  EXPECT_GE(low_px, 6.0);
  EXPECT_LT(low_px, 6.1);
  EXPECT_LE(high_px, 20.0);
  EXPECT_GT(high_px, 19.8);
  EXPECT_LT(low_tilt, 0.5);
  EXPECT_LE(high_tilt, 45.0);
  EXPECT_GT(high_tilt, 44.5);
  EXPECT_GE(low_blur, 0.6);
  EXPECT_LE(high_blur, 2.0);
  EXPECT_GT(high_blur, 1.98);
  EXPECT_LE(high_glare, 0.12);
  EXPECT_GT(high_glare, 0.115);
  EXPECT_LE(high_fall, 2.0);
  EXPECT_GT(high_fall, 1.98);
  EXPECT_EQ(low_q, 60);
  EXPECT_EQ(high_q, 95);
}

TEST(Recipe, TextsReadBack) {
  for (Cut cut : {Cut::kRib, Cut::kStrip, Cut::kSirloin}) EXPECT_EQ(CutFromText(CutText(cut)), cut);
  EXPECT_FALSE(CutFromText("brisket"));
  EXPECT_EQ(DifficultyFromText("hard"), Difficulty::kHard);
  EXPECT_FALSE(DifficultyFromText("Hard"));
}

}  // namespace
}  // namespace ribwright::phantom
