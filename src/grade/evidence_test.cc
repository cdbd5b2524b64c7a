// SPDX-License-Identifier: Apache-2.0
// Shapes, rib position, signs, yield odds and the distribution that they share.
#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <numeric>

#include "grade/doubt.h"
#include "grade/japan_odds.h"
#include "grade/outline_shape.h"
#include "grade/rib_position.h"
#include "grade/signs.h"
#include "grade/us_yield.h"

namespace ribwright::grade {
namespace {

report::Outline Ellipse(double a, double b, double turn) {
  report::Ring ring;
  for (int i = 0; i < 360; ++i) {
    const double t = 2.0 * std::numbers::pi * i / 360.0;
    const double x = a * std::cos(t);
    const double y = b * std::sin(t);
    ring.push_back({3000.0 + x * std::cos(turn) - y * std::sin(turn),
                    2000.0 + x * std::sin(turn) + y * std::cos(turn)});
  }
  return {ring};
}

TEST(SplitNormal, KeepsTheIntervalExactlyOnBothSides) {
  const auto s = SplitNormal::From(Measured::Of(8.0, 6.0, 12.0, "%", "test"));
  ASSERT_TRUE(s);
  EXPECT_NEAR(s->Cdf(6.0), 0.05, 1e-9);
  EXPECT_NEAR(s->Cdf(12.0), 0.95, 1e-9);
  EXPECT_NEAR(s->Cdf(8.0), 0.5, 1e-9);
  for (const double p : {0.01, 0.3, 0.5, 0.8, 0.99}) EXPECT_NEAR(s->Cdf(s->Quantile(p)), p, 1e-9);
}

TEST(SplitNormal, StaysInsideItsBoundsWithoutPilingUpOnThem) {
  const auto s = SplitNormal::From(Measured::Of(1.0, 0.0, 4.0, "%", "test"), 0.0, 100.0);
  ASSERT_TRUE(s);
  const auto points = s->Points(1000);
  EXPECT_GT(points.front(), 0.0);
  EXPECT_EQ(s->Cdf(0.0), 0.0);
  EXPECT_FALSE(SplitNormal::From(Measured::Of(101.0, 99.0, 103.0, "%", "test"), 0.0, 100.0));
  EXPECT_FALSE(SplitNormal::From(Measured::Unknown("%", "why")));
}

TEST(OutlineShape, AxisRatioAndAreaOfAnEllipseDoNotDependOnPlaceOrTurn) {
  for (const double turn : {0.0, 0.4, 1.7}) {
    const auto outline = Ellipse(300.0, 180.0, turn);
    EXPECT_NEAR(*AxisRatio(outline), 0.6, 1e-3);
    EXPECT_NEAR(OutlineArea(outline), std::numbers::pi * 300.0 * 180.0, 30.0);
  }
  auto mirrored = Ellipse(300.0, 180.0, 0.4);
  for (auto& p : mirrored[0]) p.x = -p.x;
  EXPECT_NEAR(*AxisRatio(mirrored), 0.6, 1e-3);
  auto holed = Ellipse(300.0, 180.0, 0.0);
  holed.push_back(Ellipse(100.0, 60.0, 0.0)[0]);
  EXPECT_NEAR(OutlineArea(holed), std::numbers::pi * (300.0 * 180.0 - 6000.0), 30.0);
  EXPECT_FALSE(AxisRatio({}));
  EXPECT_FALSE(AxisRatio({{{1, 1}, {2, 2}}}));
}

TEST(RibPosition, ComplexusPointsAheadOfEightAndNoCapBehindNine) {
  RibEvidence ahead{true, true, true, 0.48, 0.70};
  RibEvidence middle{false, false, true, 0.32, 0.63};
  RibEvidence behind{false, false, false, std::nullopt, 0.53};
  EXPECT_GT(ChanceBetween(PlaceOddsFrom(ahead), 6, 7), 0.8);
  EXPECT_GT(ChanceBetween(PlaceOddsFrom(middle), 8, 10), 0.6);
  EXPECT_LT(ChanceBetween(PlaceOddsFrom(behind), 6, 9), 0.1);
  for (const auto& evidence : {ahead, middle, behind, RibEvidence{}}) {
    const auto odds = PlaceOddsFrom(evidence);
    EXPECT_NEAR(std::accumulate(odds.begin(), odds.end(), 0.0), 1.0, 1e-12);
  }
  // A wrong outline must not make the odds degenerate.
  const auto odd = PlaceOddsFrom({false, false, true, 80.0, 0.01});
  EXPECT_NEAR(std::accumulate(odd.begin(), odd.end(), 0.0), 1.0, 1e-12);
}

TEST(RibPosition, BothEndsCanBeCountedFromAndBothAreNamed) {
  EXPECT_EQ(PlaceText(0, RibNumbering::kBones), "6");
  EXPECT_EQ(PlaceText(0, RibNumbering::kFromChuckEnd), "1");
  EXPECT_EQ(PlaceText(0, RibNumbering::kFromLoinEnd), "7");
  EXPECT_EQ(PlaceText(6, RibNumbering::kBones), "12");
  EXPECT_EQ(PlaceText(6, RibNumbering::kFromChuckEnd), "7");
  EXPECT_EQ(PlaceText(6, RibNumbering::kFromLoinEnd), "1");
  EXPECT_EQ(PlaceText(7, RibNumbering::kFromLoinEnd), "loin");
  const RibEvidence ahead{true, true, true, 0.48, 0.70};
  const auto report = RibReport(PlaceOddsFrom(ahead), ahead, RibNumbering::kFromLoinEnd);
  EXPECT_EQ(report.most_likely, "7");
  EXPECT_NE(report.basis.find("bone 6 is number 1 from the chuck end, 7 from the loin end"),
            std::string::npos)
      << report.basis;
  EXPECT_NE(report.basis.find("assumed"), std::string::npos);
  EXPECT_FALSE(RibNumberingFromText("both"));
}

report::Face ColouredFace(double l, double a, double b, double fat_b) {
  const auto of = [](double v) { return Measured::Of(v, v - 1.0, v + 1.0, "1", "test"); };
  report::Face face;
  face.lean_colour = {of(l), of(a), of(b)};
  face.fat_colour = {of(74), of(2), of(fat_b)};
  return face;
}

double OddsOf(const report::Face& face, report::SignOf sign, bool calibrated) {
  for (const auto& s : JudgeSigns(face, {calibrated, 90.0, Measured::Unknown("%", "test")})) {
    if (s.of == sign) return s.odds;
  }
  ADD_FAILURE();
  return 0.0;
}

TEST(Signs, CalibratedColourMovesTheOddsAndUncalibratedHardlyDoes) {
  using enum report::SignOf;
  const auto usual = ColouredFace(40, 25, 13, 13);
  const auto dark = ColouredFace(31, 15, 5, 13);
  const auto browned = ColouredFace(38, 13, 15, 13);
  const auto yellow = ColouredFace(40, 25, 13, 20);
  EXPECT_GT(OddsOf(dark, kDarkCutting, true), 0.3);
  EXPECT_LT(OddsOf(usual, kDarkCutting, true), 0.03);
  EXPECT_LT(OddsOf(dark, kDarkCutting, false), 0.10);
  EXPECT_GT(OddsOf(browned, kBrowned, true), 0.6);
  EXPECT_GT(OddsOf(browned, kBrowned, true), OddsOf(browned, kDarkCutting, true));
  EXPECT_LT(OddsOf(browned, kFresh, true), 0.4);
  EXPECT_GT(OddsOf(yellow, kGrassFed, true), 0.55);
  EXPECT_NEAR(OddsOf(yellow, kGrassFed, false), 0.35, 0.1);
  EXPECT_NEAR(OddsOf(yellow, kGrassFed, true) + OddsOf(yellow, kGrainFed, true), 1.0, 1e-12);
}

TEST(Signs, AreNotJudgedWithoutCalibratedColourOrOnAPhotoThatCannotShowThem) {
  const Measured none = Measured::Unknown("%", "test");
  const auto usual = ColouredFace(40, 25, 13, 13);
  EXPECT_EQ(WhyNoSigns(usual, {true, 90.0, none}), "");
  EXPECT_EQ(WhyNoSigns(usual, {false, 90.0, none}), "colour is not calibrated");
  for (const Code code : {Code::kNotBeefLike, Code::kOutOfFocus, Code::kGlareHeavy}) {
    EXPECT_NE(WhyNoSigns(usual, {true, 90.0, none, {Code::kBloomUnknown, code}}), "");
  }
  EXPECT_EQ(WhyNoSigns(usual, {true, 90.0, none, {Code::kBloomUnknown}}), "");
  EXPECT_EQ(WhyNoSigns(ColouredFace(40, 5, 13, 13), {true, 90.0, none}), "");
  EXPECT_EQ(WhyNoSigns(ColouredFace(40, 40, 13, 13), {true, 90.0, none}), "");
  for (const double a : {4.0, 41.0}) {
    const std::string why = WhyNoSigns(ColouredFace(40, a, 13, 13), {true, 90.0, none});
    EXPECT_NE(why.find("outside 5 to 40"), std::string::npos) << why;
  }
  EXPECT_EQ(WhyNoSigns(report::Face{}, {true, 90.0, none}), "no lean colour was measured");
}

TEST(RibPosition, TheReasonForNoneIsTheTrueOne) {
  using enum report::MuscleName;
  report::Face face;
  EXPECT_NE(WhyNoRib(face).find("no eye"), std::string::npos);
  face.muscles.resize(1);
  face.muscles[0].name = kLongissimus;
  EXPECT_EQ(WhyNoRib(face), "");
  EXPECT_TRUE(EvidenceOf(face));
  face.muscles.resize(2);
  face.muscles[1].name = kGluteusMedius;
  EXPECT_FALSE(EvidenceOf(face));
  EXPECT_NE(WhyNoRib(face).find("gluteus medius"), std::string::npos);
  EXPECT_EQ(WhyNoRib(face).find("no eye"), std::string::npos);
}

TEST(Signs, WithoutColourTheOddsAreThePriorAndSayso) {
  const auto signs = JudgeSigns(report::Face{}, {true, std::nullopt, Measured::Unknown("%", "x")});
  ASSERT_EQ(signs.size(), 6u);
  for (const auto& sign : signs) {
    if (sign.of == report::SignOf::kDarkCutting) {
      EXPECT_NEAR(sign.odds, 0.03, 1e-9);
      EXPECT_NE(sign.because.find("no lean colour"), std::string::npos);
    }
  }
}

TEST(Signs, NoColourHoweverOddIsProof) {
  for (const double v : {-200.0, 0.0, 1e6}) {
    for (const auto& sign : JudgeSigns(ColouredFace(v, v, -v, v), {true, 90.0, {}})) {
      EXPECT_GT(sign.odds, 0.0);
      EXPECT_LT(sign.odds, 1.0);
    }
  }
}

TEST(YieldOdds, StatedDataGiveTheEquationsClassAndFaceDataWidenIt) {
  Carcass carcass;
  carcass.hot_carcass_weight_kg = 750.0 * 0.45359237;
  const Measured none = Measured::Unknown("cm2", "no scale");
  EXPECT_FALSE(YieldOdds(carcass, none, none, 1.0).Known());
  carcass.ribeye_area_cm2 = 12.8 * 6.4516;
  carcass.fat_depth_mm = 0.4 * 25.4;
  carcass.kidney_pelvic_heart_fat_pct = 2.5;
  const auto exact = YieldOdds(carcass, none, none, 1.0);
  EXPECT_EQ(exact.most_likely, "2");
  EXPECT_NEAR(exact.odds.front().second, 1.0, 1e-12);
  Carcass weight_only;
  weight_only.hot_carcass_weight_kg = carcass.hot_carcass_weight_kg;
  const auto face = YieldOdds(weight_only, Measured::Of(82.6, 80.0, 85.0, "cm2", "test"),
                              Measured::Of(10.2, 9.5, 11.0, "mm", "test"), 0.8);
  EXPECT_EQ(face.most_likely, "2");
  EXPECT_GT(face.odds.size(), 1u);
  EXPECT_NE(face.basis.find("assumed"), std::string::npos);
  EXPECT_FALSE(YieldOdds(Carcass{}, none, none, 1.0).Known());
}

TEST(JapaneseOdds, StatedItemsLowerTheGradeAndMissingOnesAreNamed) {
  const auto share = SplitNormal::From(Measured::Of(60.0, 58.0, 62.0, "%", "test"), 0.0, 100.0);
  const BmsOdds bms = BmsOddsFromArea(*share, BmsAreaSd(1.0, true));
  EXPECT_EQ(JapaneseGradeOdds(bms, nullptr).most_likely, "5");
  Carcass carcass;
  carcass.lean_colour_number = 6.0;
  const auto limited = JapaneseGradeOdds(bms, &carcass);
  EXPECT_EQ(limited.most_likely, "4");
  EXPECT_EQ(limited.odds.back().first, "4");
  const Measured none = Measured::Unknown("cm2", "no scale");
  EXPECT_NE(JapaneseYieldOdds(carcass, none, 1.0).basis.find("left_cold_side"), std::string::npos);
  carcass.left_cold_side_kg = 229.0;
  carcass.rib_thickness_mm = 77.0;
  carcass.subcutaneous_fat_mm = 25.0;
  carcass.beef_breed = true;
  carcass.longissimus_area_cm2 = 57.0;
  EXPECT_EQ(JapaneseYieldOdds(carcass, none, 1.0).most_likely, "A");
}

}  // namespace
}  // namespace ribwright::grade
