// SPDX-License-Identifier: Apache-2.0
#include "photo/card_find.h"

#include <gtest/gtest.h>

#include <chrono>
#include <cmath>

#include "photo/card_layout.h"
#include "photo/card_test_scene.h"

namespace ribwright::photo {
namespace {

// Truth from designed mm to pixels.
cv::Matx33d PxFromDesign(const test::Scene& s) {
  const cv::Matx33d world_from_design(s.print_scale, 0, -s.print_scale * kCardWidthMm / 2, 0,
                                      s.print_scale, -s.print_scale * kCardHeightMm / 2, 0, 0, 1);
  return test::PxFromWorld(s) * world_from_design;
}

// Largest distance in pixels over the card.
double WorstMiss(const test::Scene& s, const CardFound& card) {
  const cv::Matx33d truth = PxFromDesign(s);
  const cv::Matx33d found = card.px_from_design.Matrix();
  double worst = 0.0;
  for (double x = 0; x <= kCardWidthMm; x += 20) {
    for (double y = 0; y <= kCardHeightMm; y += 16) {
      const cv::Point2d d = Transform(truth, {x, y}) - Transform(found, {x, y});
      worst = std::max(worst, std::hypot(d.x, d.y));
    }
  }
  return worst;
}

double Spread(const CardFound& card) { return card.px_from_design.residual; }

bool Warns(const CardFound& card, Code code) {
  for (const auto& w : card.warnings) {
    if (w.code == code) return true;
  }
  return false;
}

TEST(FindCard, PlacesEveryMillimetreAtAllTilts) {
  std::uint64_t seed = 1;
  for (const double tilt : {0.0, 15.0, 30.0, 45.0}) {
    for (const double azimuth : {65.0, 200.0}) {
      test::Scene s;
      s.tilt_deg = tilt;
      s.azimuth_deg = azimuth;
      s.roll_deg = azimuth / 2;
      s.look_at = {0, 20};
      s.blur_px = 0.6 + 0.1 * static_cast<double>(seed % 10);
      const auto card = FindCard(test::Render(s, seed++));
      ASSERT_TRUE(card.has_value()) << tilt << " " << azimuth;
      EXPECT_EQ(card->tag_ids.size(), 6U) << tilt << " " << azimuth;
      EXPECT_LT(WorstMiss(s, *card), 0.25)
          << tilt << " " << azimuth << " residual " << Spread(*card);
      EXPECT_NEAR(card->tilt_deg, tilt, 4.0);
      EXPECT_FALSE(Warns(*card, Code::kCardTilted));
    }
  }
}

TEST(FindCard, StandsTheCoarsestAndTheMostBlurredPhoto) {
  test::Scene s;
  s.size = {1600, 1200};
  s.focal_px = 1200;
  s.distance_mm = 240;  // 5 px/mm
  s.tilt_deg = 40;
  s.azimuth_deg = 30;
  s.blur_px = 2.0;
  s.look_at = {0, 10};
  s.noise = 4.0;
  const auto card = FindCard(test::Render(s, 9));
  ASSERT_TRUE(card.has_value());
  EXPECT_LT(WorstMiss(s, *card), 0.4);
}

TEST(FindCard, StandsOneMarkerCoveredAndSaysSo) {
  for (const CardTag& tag : CardTags()) {
    test::Scene s;
    s.tilt_deg = 25;
    s.azimuth_deg = 40;
    s.dirt = {{tag.x_mm - 3, tag.y_mm - 3, tag.size_mm + 6, tag.size_mm + 6}};
    const auto card = FindCard(test::Render(s, 21));
    ASSERT_TRUE(card.has_value());
    EXPECT_EQ(card->tag_ids.size(), 5U);
    EXPECT_TRUE(Warns(*card, Code::kCardPartlyHidden));
    EXPECT_LT(WorstMiss(s, *card), 0.25);
  }
}

TEST(FindCard, StandsASoiledHalf) {
  test::Scene s;
  s.tilt_deg = 30;
  s.dirt = {{100, 0, 90, 64}, {20, 5, 9, 12}};
  const auto card = FindCard(test::Render(s, 22));
  ASSERT_TRUE(card.has_value());
  EXPECT_LE(card->tag_ids.size(), 4U);
  EXPECT_GE(card->tag_ids.size(), 2U);
  EXPECT_LT(WorstMiss(s, *card), 1.2);  // the far end is extrapolated over 80 mm
  EXPECT_TRUE(Warns(*card, Code::kCardPartlyHidden));
}

TEST(FindCard, SetsAMarkerAsideThatLiesElsewhere) {
  test::Scene s;
  cv::Mat photo = test::Render(s, 23);
  // A cut-out of marker 103 pasted over the board, its own place being covered: one marker tells a
  // lie.
  const cv::Matx33d truth = PxFromDesign(s);
  const cv::Point2d at = Transform(truth, {156, 9});
  const cv::Point2d end = Transform(truth, {176, 29});
  const cv::Rect from{cv::Point(at), cv::Point(end)};
  const cv::Rect to(cv::Point(200, 1100), from.size());
  photo(from).copyTo(photo(to));
  photo(from).setTo(cv::Scalar(90, 60, 50));
  const auto card = FindCard(photo);
  ASSERT_TRUE(card.has_value());
  EXPECT_EQ(card->tag_ids, (std::vector<int>{101, 102, 104, 105, 106}));
  EXPECT_LT(WorstMiss(s, *card), 0.25);
}

TEST(FindCard, FindsNoneWhereThereIsNone) {
  test::Scene s;
  s.card = false;
  EXPECT_FALSE(FindCard(test::Render(s, 24)).has_value());
  EXPECT_FALSE(FindCard(cv::Mat(10, 10, CV_8UC3, cv::Scalar(1, 2, 3))).has_value());
}

TEST(FindCard, WarnsBeyondFortyFiveDegreesAndTakesTheRuler) {
  test::Scene s;
  s.tilt_deg = 55;
  s.azimuth_deg = 90;
  s.look_at = {0, 0};
  const auto card = FindCard(test::Render(s, 25), {.threads = 1, .ruler_mm = 147.0});
  ASSERT_TRUE(card.has_value());
  EXPECT_TRUE(Warns(*card, Code::kCardTilted));
  EXPECT_DOUBLE_EQ(card->print_scale, 0.98);
  EXPECT_DOUBLE_EQ(card->print_relative_sd, kRulerRelativeSd);
}

TEST(FindCard, GivesTheSameForOneAndTwoThreads) {
  test::Scene s;
  s.tilt_deg = 20;
  const cv::Mat photo = test::Render(s, 26);
  const auto one = FindCard(photo, {.threads = 1, .ruler_mm = {}});
  const auto two = FindCard(photo, {.threads = 2, .ruler_mm = {}});
  ASSERT_TRUE(one && two);
  EXPECT_EQ(one->px_from_design.parameters, two->px_from_design.parameters);
}

}  // namespace
}  // namespace ribwright::photo
