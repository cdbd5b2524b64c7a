// SPDX-License-Identifier: Apache-2.0
#include "photo/card_layout.h"

#include <gtest/gtest.h>

#include <set>

namespace ribwright::photo {
namespace {

TEST(CardLayout, AllPartsLieInsideTheCard) {
  for (const CardRect& r : CardRects()) {
    EXPECT_GE(r.x_mm, 0.0);
    EXPECT_GE(r.y_mm, 0.0);
    EXPECT_LE(r.x_mm + r.width_mm, kCardWidthMm + 1e-9);
    EXPECT_LE(r.y_mm + r.height_mm, kCardHeightMm + 1e-9);
  }
}

TEST(CardLayout, MarkersHaveDistinctIdsAndAQuietZoneOfOneCell) {
  std::set<int> ids;
  for (const CardTag& tag : CardTags()) {
    EXPECT_TRUE(ids.insert(tag.id).second);
    const double cell = tag.size_mm / 8.0;
    for (double t = -cell; t <= tag.size_mm + cell; t += 0.1) {
      const double near = cell - 0.05;
      EXPECT_EQ(CardColourAt(tag.x_mm + t, tag.y_mm - near), kCardPaper);
      EXPECT_EQ(CardColourAt(tag.x_mm + t, tag.y_mm + tag.size_mm + near), kCardPaper);
      EXPECT_EQ(CardColourAt(tag.x_mm - near, tag.y_mm + t), kCardPaper);
      EXPECT_EQ(CardColourAt(tag.x_mm + tag.size_mm + near, tag.y_mm + t), kCardPaper);
    }
    EXPECT_EQ(CardColourAt(tag.x_mm + 0.5 * cell, tag.y_mm + 3.0 * cell), kCardInk);
  }
  EXPECT_EQ(ids.size(), 6U);
}

TEST(CardLayout, WhitesAreBarePaperWhollyAndPatchesShowTheirColour) {
  for (const CardWhite& w : CardWhites()) {
    for (double x = w.x_mm; x <= w.x_mm + w.width_mm; x += 0.25) {
      for (double y = w.y_mm; y <= w.y_mm + w.height_mm; y += 0.25) {
        EXPECT_EQ(CardColourAt(x, y), kCardPaper) << x << " " << y;
      }
    }
  }
  std::set<std::string_view> ids;
  int neutral = 0;
  for (const CardPatch& p : CardPatches()) {
    EXPECT_TRUE(ids.insert(p.id).second);
    neutral += p.neutral ? 1 : 0;
    EXPECT_EQ(p.neutral, p.colour.r == p.colour.g && p.colour.g == p.colour.b) << p.id;
    EXPECT_EQ(CardColourAt(p.x_mm + 0.1, p.y_mm + 0.1), p.colour);
    EXPECT_EQ(CardColourAt(p.x_mm + p.width_mm - 0.1, p.y_mm + p.height_mm - 0.1), p.colour);
  }
  EXPECT_GE(neutral, 5);
}

TEST(CardLayout, PointSamplingAgreesWithPaintingInOrder) {
  for (double y = 0.013; y < kCardHeightMm; y += 0.37) {
    for (double x = 0.017; x < kCardWidthMm; x += 0.41) {
      Srgb8 painted = kCardPaper;
      for (const CardRect& r : CardRects()) {
        if (x >= r.x_mm && x < r.x_mm + r.width_mm && y >= r.y_mm && y < r.y_mm + r.height_mm) {
          painted = r.colour;
        }
      }
      ASSERT_EQ(CardColourAt(x, y), painted) << x << " " << y;
    }
  }
  EXPECT_FALSE(CardColourAt(-0.01, 5.0).has_value());
  EXPECT_FALSE(CardColourAt(kCardWidthMm, 5.0).has_value());
}

TEST(CardLayout, RulerSpansItsStatedLength) {
  const double y = 4.0;  // reached by the 10 mm ticks only
  EXPECT_EQ(CardColourAt(kCardRulerStartMm, y), kCardInk);
  EXPECT_EQ(CardColourAt(kCardRulerStartMm + kCardRulerMm, y), kCardInk);
  EXPECT_EQ(CardColourAt(kCardRulerStartMm + 5.0, y), kCardPaper);
}

}  // namespace
}  // namespace ribwright::photo
