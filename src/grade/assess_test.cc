// SPDX-License-Identifier: Apache-2.0
#include "grade/assess.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "grade/doubt.h"
#include "grade/japan_odds.h"
#include "grade/us_degree_odds.h"

namespace ribwright::grade {
namespace {

using report::Face;
using report::MuscleName;
using report::Odds;

report::Outline Ellipse(double cx, double cy, double a, double b) {
  report::Ring ring;
  for (int i = 0; i < 90; ++i) {
    const double t = 2.0 * std::numbers::pi * i / 90.0;
    ring.push_back({cx + a * std::cos(t), cy + b * std::sin(t)});
  }
  return {ring};
}

report::Muscle MuscleOf(MuscleName name, double pct, double half_width) {
  report::Muscle muscle;
  muscle.name = name;
  muscle.marbling_pct =
      Measured::Of(pct, std::max(0.0, pct - half_width), pct + half_width, "%", "test");
  muscle.area = Measured::Of(80.0, 76.0, 84.0, "cm2", "test");
  muscle.outline_px = Ellipse(500, 500, 300, 190);
  return muscle;
}

Face FaceWithEye(double pct, double half_width = 1.0) {
  Face face;
  face.muscles.push_back(MuscleOf(MuscleName::kLongissimus, pct, half_width));
  face.marbling_pct = face.muscles[0].marbling_pct;
  face.cover.mean = Measured::Of(9.0, 8.0, 10.0, "mm", "test");
  face.cover.at_three_quarters = Measured::Of(10.0, 9.0, 11.0, "mm", "test");
  const auto colour = [](double v) { return Measured::Of(v, v - 1.0, v + 1.0, "1", "test"); };
  face.lean_colour = {colour(40), colour(25), colour(13)};
  face.fat_colour = {colour(74), colour(2), colour(13)};
  return face;
}

Face Assessed(Face face, const GradeRequest& request = {}) {
  std::vector<report::Caution> warnings;
  Assess(request, face, warnings);
  return face;
}

double Chance(const Odds& odds, std::string_view name) {
  for (const auto& [key, p] : odds.odds) {
    if (key == name) return p;
  }
  return 0.0;
}

double Entropy(const Odds& odds) {
  double h = 0.0;
  for (const auto& [key, p] : odds.odds) h -= p * std::log(p);
  return h;
}

void ExpectProperOdds(const Odds& odds, const std::string& what) {
  ASSERT_TRUE(odds.Known()) << what;
  double sum = 0.0;
  double best = 0.0;
  for (const auto& [key, p] : odds.odds) {
    EXPECT_TRUE(p > 0.0 && p <= 1.0) << what << " " << key << " " << p;
    sum += p;
    best = std::max(best, p);
  }
  EXPECT_NEAR(sum, 1.0, 1e-9) << what;
  EXPECT_EQ(Chance(odds, odds.most_likely), best) << what;
  EXPECT_FALSE(odds.basis.empty()) << what;
}

TEST(Assess, GivesProperOddsAndFiniteNumbersFromNoFatToAllFat) {
  for (const double pct : {0.0, 0.01, 0.5, 3.0, 6.1, 10.0, 30.0, 56.8, 70.0, 99.0, 100.0}) {
    for (const double half : {0.0, 0.3, 5.0, 60.0}) {
      Face face = FaceWithEye(pct, half);
      GradeRequest calibrated;
      calibrated.colour_calibrated = true;
      face = Assessed(face, calibrated);
      ExpectProperOdds(face.marbling_degree, "degree");
      for (const auto& [key, odds] : face.grade_odds) ExpectProperOdds(odds, key);
      ExpectProperOdds(face.rib_position, "rib");
      ASSERT_TRUE(face.imf_pct && face.imf_pct->Valid() && face.imf_pct->Known());
      EXPECT_GE(face.imf_pct->low, 0.0);
      EXPECT_LE(face.imf_pct->high, 100.0);
      EXPECT_EQ(face.signs.size(), 6u);
      for (const auto& sign : face.signs) {
        EXPECT_TRUE(sign.odds > 0.0 && sign.odds < 1.0) << sign.odds;
        EXPECT_FALSE(sign.because.empty());
      }
    }
  }
}

TEST(Assess, MoreMarblingNeverLowersTheExpectedDegreeNumberOrChemicalFat) {
  double last_score = 0.0;
  double last_bms = 0.0;
  double last_imf = -1.0;
  for (double pct = 0.0; pct <= 80.0; pct += 0.25) {
    const Face face = Assessed(FaceWithEye(pct, 0.1 * pct));
    double score = 0.0;
    for (const auto& [key, p] : face.marbling_degree.odds) {
      for (int i = 0; i < kDegrees; ++i) {
        if (OddsKey(DegreeText(static_cast<Degree>(i))) == key) score += p * i;
      }
    }
    double bms = 0.0;
    for (const auto& [key, p] : face.grade_odds.at("japan_bms").odds) bms += p * std::stod(key);
    EXPECT_GE(score, last_score - 1e-9) << pct;
    EXPECT_GE(bms, last_bms - 1e-9) << pct;
    EXPECT_GE(*face.imf_pct->value, last_imf - 1e-9) << pct;
    last_score = score;
    last_bms = bms;
    last_imf = *face.imf_pct->value;
  }
  EXPECT_GT(last_score, 6.0);
  EXPECT_GT(last_bms, 10.0);
}

TEST(Assess, AWiderIntervalNeverSharpensTheOdds) {
  for (const double pct : {3.0, 6.0, 12.0, 40.0}) {
    double last_us = 0.0;
    double last_bms = 0.0;
    double last_width = 0.0;
    for (const double share : {0.0, 0.2, 0.4, 0.8}) {
      const Face face = Assessed(FaceWithEye(pct, share * pct));
      EXPECT_GE(face.imf_pct->high - face.imf_pct->low, last_width) << pct;
      last_width = face.imf_pct->high - face.imf_pct->low;
      if (pct < 30.0) {
        EXPECT_GE(Entropy(face.marbling_degree), last_us - 1e-9) << pct;
        last_us = Entropy(face.marbling_degree);
      } else {
        EXPECT_GE(Entropy(face.grade_odds.at("japan_bms")), last_bms - 1e-9) << pct;
        last_bms = Entropy(face.grade_odds.at("japan_bms"));
      }
    }
  }
}

TEST(Assess, LeanSmallModerateAndRichFacesGetTheGradesThatTheTradeWouldExpect) {
  EXPECT_EQ(Assessed(FaceWithEye(2.5)).grade_odds.at("us").most_likely, "select");
  EXPECT_EQ(Assessed(FaceWithEye(7.0)).grade_odds.at("us").most_likely, "choice");
  EXPECT_EQ(Assessed(FaceWithEye(16.0)).grade_odds.at("us").most_likely, "prime");
  // Broad on purpose: a share between two grades leaves both open.
  const Face face = Assessed(FaceWithEye(8.0));
  EXPECT_GT(Chance(face.grade_odds.at("us"), "prime"), 0.10);
  EXPECT_GT(Chance(face.grade_odds.at("us"), "choice"), 0.40);
  const Face wagyu = Assessed(FaceWithEye(48.9));
  EXPECT_GT(Chance(wagyu.grade_odds.at("us"), "prime"), 0.85);
  EXPECT_GT(Chance(wagyu.grade_odds.at("japan"), "4"), 0.3);
}

TEST(Assess, AnUnknownShareLeavesEveryScaleEmptyWithItsReason) {
  Face face = FaceWithEye(8.0);
  face.muscles.clear();
  face.marbling_pct = Measured::Unknown("%", "glare hides the face");
  std::vector<report::Caution> warnings;
  Assess({}, face, warnings);
  ASSERT_TRUE(face.imf_pct);
  EXPECT_FALSE(face.imf_pct->Known());
  EXPECT_EQ(face.imf_pct->reason, "glare hides the face");
  EXPECT_FALSE(face.marbling_degree.Known());
  for (const auto& [key, odds] : face.grade_odds) {
    EXPECT_FALSE(odds.Known()) << key;
    EXPECT_EQ(odds.basis, "glare hides the face") << key;
  }
  EXPECT_FALSE(face.rib_position.Known());
  for (const auto& caution : warnings) EXPECT_NE(caution.code, Code::kGradeNotOfficial);
}

TEST(Assess, MeatThatDoesNotLookLikeBeefGetsNoBeefScale) {
  GradeRequest request;
  request.colour_calibrated = true;
  request.standing = {Code::kBloomUnknown, Code::kNotBeefLike};
  request.carcass = Carcass{};
  request.carcass->hot_carcass_weight_kg = 360.0;
  std::vector<report::Caution> warnings;
  Face face = FaceWithEye(8.0);
  Assess(request, face, warnings);
  const std::string why = "the meat does not look like raw beef";
  EXPECT_TRUE(warnings.empty());
  EXPECT_FALSE(face.marbling_degree.Known());
  EXPECT_EQ(face.marbling_degree.basis, why);
  EXPECT_EQ(face.grade_odds.size(), 4U);
  for (const auto& [key, odds] : face.grade_odds) {
    EXPECT_FALSE(odds.Known()) << key;
    EXPECT_EQ(odds.basis, why) << key;
  }
  EXPECT_EQ(face.imf_pct->reason, why);
  EXPECT_FALSE(face.rib_position.Known());
  EXPECT_TRUE(face.signs.empty());
  EXPECT_EQ(face.signs_reason, why);
  // What is measured stays.
  EXPECT_TRUE(face.muscles[0].marbling_pct.Known());
}

TEST(Assess, SignsAreJudgedWithCalibratedColourAlone) {
  GradeRequest request;
  EXPECT_TRUE(Assessed(FaceWithEye(8.0), request).signs.empty());
  EXPECT_EQ(Assessed(FaceWithEye(8.0), request).signs_reason, "colour is not calibrated");
  EXPECT_TRUE(Assessed(FaceWithEye(8.0), request).grade_odds.at("us").Known());
  request.colour_calibrated = true;
  EXPECT_EQ(Assessed(FaceWithEye(8.0), request).signs.size(), 6U);
  EXPECT_EQ(Assessed(FaceWithEye(8.0), request).signs_reason, "");
}

TEST(Assess, WarnsOnceThatGradesAreNotOfficialHoweverManyFaces) {
  std::vector<report::Caution> warnings;
  for (int i = 0; i < 3; ++i) {
    Face face = FaceWithEye(3.0);
    Assess({}, face, warnings);
  }
  const auto count = [&](Code code) {
    return std::count_if(warnings.begin(), warnings.end(),
                         [&](const auto& caution) { return caution.code == code; });
  };
  EXPECT_EQ(count(Code::kGradeNotOfficial), 1);
  EXPECT_EQ(count(Code::kMaturityAssumed), 1);
  EXPECT_EQ(count(Code::kLineOutOfRange), 1);
}

TEST(Assess, MaturityAndDarkCuttingMoveTheGradeAndSayWhere) {
  GradeRequest request;
  request.maturity = *MaturityFromText("C");
  const Face old = Assessed(FaceWithEye(16.0), request);
  EXPECT_EQ(Chance(old.grade_odds.at("us"), "prime"), 0.0);
  EXPECT_GT(Chance(old.grade_odds.at("us"), "commercial"), 0.8);

  request = {};
  request.dark_cutting = 1.0;
  const Face dark = Assessed(FaceWithEye(16.0), request);
  EXPECT_LT(Chance(dark.grade_odds.at("us"), "prime"), 0.05);
  EXPECT_GT(Chance(dark.grade_odds.at("us"), "choice"), 0.5);
  EXPECT_NE(dark.grade_odds.at("us").basis.find("dark cutting"), std::string::npos);

  request = {};
  request.carcass = Carcass{};
  request.carcass->age_months = 80.0;
  std::vector<report::Caution> warnings;
  Face aged = FaceWithEye(16.0);
  Assess(request, aged, warnings);
  EXPECT_NE(aged.grade_odds.at("us").basis.find("stated age"), std::string::npos);
  for (const auto& caution : warnings) EXPECT_NE(caution.code, Code::kMaturityAssumed);
}

TEST(Assess, OtherMusclesGiveWiderOddsThanTheEye) {
  Face sirloin = FaceWithEye(7.0);
  sirloin.muscles[0].name = MuscleName::kGluteusMedius;
  const Face other = Assessed(sirloin);
  const Face eye = Assessed(FaceWithEye(7.0));
  EXPECT_GT(Entropy(other.marbling_degree), Entropy(eye.marbling_degree));
  EXPECT_GT(other.imf_pct->high - other.imf_pct->low, eye.imf_pct->high - eye.imf_pct->low);
  EXPECT_FALSE(other.rib_position.Known());
  EXPECT_NE(other.marbling_degree.basis.find("gluteus"), std::string::npos);
}

TEST(Assess, AreaOfEachDegreeRisesAndMeetsTheStatedBridge) {
  double last = -1.0;
  for (double score = kLowestScore; score < kScoreEnd; score += 10.0) {
    EXPECT_GT(AreaFromScore(score), last) << score;
    last = AreaFromScore(score);
  }
  EXPECT_NEAR(AreaFromScore(350.0), 3.1, 0.5);
  EXPECT_NEAR(AreaFromScore(450.0), 5.1, 0.5);
  EXPECT_NEAR(AreaFromScore(650.0), 8.9, 0.7);
  EXPECT_NEAR(AreaFromScore(750.0), 12.0, 0.8);
}

TEST(Assess, TheSpreadsAddUpToThoseThatTheDocumentsState) {
  EXPECT_NEAR(LogSd(AreaSpread{}, 1.0, true), 0.406, 0.001);   // 0.25, 0.20, 0.25
  EXPECT_NEAR(LogSd(AreaSpread{}, 0.0, true), 0.453, 0.001);   // and 0.20 off the rib
  EXPECT_NEAR(LogSd(AreaSpread{}, 0.0, false), 0.517, 0.001);  // and 0.25 for another muscle
  EXPECT_NEAR(BmsAreaSd(1.0, true), 7.5, 0.05);
  EXPECT_NEAR(BmsAreaSd(0.0, true), 9.0, 0.05);
}

TEST(Assess, TheSameFaceGivesTheSameNumbers) {
  GradeRequest request;
  request.carcass = Carcass{};
  request.carcass->hot_carcass_weight_kg = 360.0;
  const Face first = Assessed(FaceWithEye(7.0), request);
  const Face second = Assessed(FaceWithEye(7.0), request);
  EXPECT_EQ(first.grade_odds.at("us_yield").odds, second.grade_odds.at("us_yield").odds);
  EXPECT_EQ(first.marbling_degree.odds, second.marbling_degree.odds);
}

}  // namespace
}  // namespace ribwright::grade
