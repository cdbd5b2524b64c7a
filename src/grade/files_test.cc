// SPDX-License-Identifier: Apache-2.0
// The carcass file and the house spec: what they read, what they refuse, and that the documented
// examples work.
#include <gtest/gtest.h>

#include <fstream>
#include <sstream>
#include <string>

#include "grade/carcass.h"
#include "grade/house_spec.h"

namespace ribwright::grade {
namespace {

std::string ExampleOf(const std::string& page) {
  std::ifstream file(std::string(RIBWRIGHT_SOURCE_DIR) + "/docs/format/" + page);
  std::stringstream text;
  text << file.rdbuf();
  const std::string all = text.str();
  const std::size_t start = all.find("```csv\n");
  if (start == std::string::npos) return "";
  const std::size_t from = start + 7;
  return all.substr(from, all.find("```", from) - from);
}

TEST(CarcassFile, ReadsUnitsIntoBaseUnits) {
  const auto carcass = ParseCarcass(
      "quantity,value,unit\nhot_carcass_weight,800,lb\nfat_depth,0.5,in\nribeye_area,14,in2\n"
      "rib_thickness_6th_rib,7.7,cm\nbeef_breed,yes,1\n",
      "carcass.csv");
  ASSERT_TRUE(carcass) << carcass.error().message;
  EXPECT_NEAR(*carcass->hot_carcass_weight_kg, 362.87, 0.01);
  EXPECT_NEAR(*carcass->fat_depth_mm, 12.7, 1e-9);
  EXPECT_NEAR(*carcass->ribeye_area_cm2, 90.32, 0.01);
  EXPECT_NEAR(*carcass->rib_thickness_mm, 77.0, 1e-9);
  EXPECT_TRUE(*carcass->beef_breed);
  EXPECT_FALSE(carcass->age_months);
}

TEST(CarcassFile, RefusesWhatItCannotUseAndSaysWhere) {
  const std::string head = "quantity,value,unit\n";
  for (const std::string& text : {
           std::string("quantity,value\nage,20\n"),  // a column is missing
           std::string("quantity,value,unit,by\nage,20,months,x\n"),
           head,                        // no row
           head + "weight,300,kg\n",    // unknown quantity
           head + "age,20,years\n",     // unknown unit
           head + "age,many,months\n",  // no number
           head + "age,nan,months\n",
           head + "hot_carcass_weight,3000,kg\n",  // no carcass weighs that
           head + "fat_depth,-1,mm\n",
           head + "lean_colour_number,2.5,1\n",  // whole numbers only
           head + "beef_breed,maybe,1\n",
           head + "age,20,months\nage,21,months\n",  // twice
           head + "age,20\n",
           std::string(),
       }) {
    const auto carcass = ParseCarcass(text, "carcass.csv");
    ASSERT_FALSE(carcass) << text;
    EXPECT_EQ(carcass.error().code, Code::kCarcassUnusable) << text;
    EXPECT_NE(carcass.error().where.find("carcass.csv"), std::string::npos) << text;
    EXPECT_FALSE(carcass.error().mend.empty()) << text;
  }
  const auto missing = ReadCarcass("/nonexistent/carcass.csv");
  ASSERT_FALSE(missing);
  EXPECT_EQ(missing.error().code, Code::kCarcassUnusable);
}

TEST(CarcassFile, TheDocumentedExampleIsUsable) {
  const auto carcass = ParseCarcass(ExampleOf("carcass.md"), "carcass.md");
  ASSERT_TRUE(carcass) << carcass.error().message << carcass.error().where;
  EXPECT_TRUE(carcass->hot_carcass_weight_kg);
}

TEST(HouseSpecFile, TheDocumentedExampleIsUsable) {
  const auto spec = ParseHouseSpec(ExampleOf("house_spec.md"), "house_spec.md");
  ASSERT_TRUE(spec) << spec.error().message << spec.error().where;
  EXPECT_GE(spec->limits.size(), 4u);
}

TEST(HouseSpecFile, RefusesWhatItCannotUseAndSaysWhere) {
  const std::string head = "quantity,at_least,at_most,unit\n";
  for (const std::string& text : {
           std::string("quantity,at_least,unit\neye_marbling,8,%\n"),
           head,
           head + "beauty,1,2,1\n",
           head + "eye_marbling,,,%\n",
           head + "eye_marbling,20,8,%\n",
           head + "eye_marbling,8,20,mm\n",
           head + "eye_marbling,eight,20,%\n",
           head + "cover,,10,mm\ncover,,12,mm\n",
       }) {
    const auto spec = ParseHouseSpec(text, "house.csv");
    ASSERT_FALSE(spec) << text;
    EXPECT_EQ(spec.error().code, Code::kHouseSpecUnusable) << text;
    EXPECT_NE(spec.error().where.find("house.csv"), std::string::npos) << text;
    EXPECT_FALSE(spec.error().mend.empty()) << text;
  }
}

TEST(HouseSpec, MetMissedAndUndecidedFollowTheOdds) {
  report::Face face;
  face.cover.mean = Measured::Of(10.0, 9.0, 11.0, "mm", "test");
  face.fat_share_pct = Measured::Unknown("%", "the outline is cut off");
  const auto outcome = [&](const SpecLimit& limit) { return Check(limit, face); };
  EXPECT_EQ(outcome({"cover", 5.0, 12.0, "mm", 1.0}).outcome, "met");
  EXPECT_EQ(outcome({"cover", std::nullopt, 8.0, "mm", 1.0}).outcome, "missed");
  const auto near = outcome({"cover", std::nullopt, 10.0, "mm", 1.0});
  EXPECT_EQ(near.outcome, "undecided");
  EXPECT_NEAR(*near.odds_met, 0.5, 1e-9);
  // 0.4 in = 10.16 mm, in the house's own unit.
  const auto inches = outcome({"cover", std::nullopt, 0.4, "in", 25.4});
  EXPECT_EQ(inches.wanted, "at most 0.4 in");
  EXPECT_GT(*inches.odds_met, 0.5);
  const auto unknown = outcome({"fat_share", std::nullopt, 30.0, "%", 1.0});
  EXPECT_EQ(unknown.outcome, "undecided");
  EXPECT_FALSE(unknown.odds_met);
  EXPECT_EQ(unknown.because, "the outline is cut off");
  EXPECT_EQ(outcome({"cap_marbling", 30.0, std::nullopt, "%", 1.0}).outcome, "undecided");
}

TEST(HouseSpec, AnExactNumberOnTheLimitMeetsIt) {
  report::Face face;
  face.cover.mean = Measured::Exact(10.0, "mm");
  EXPECT_EQ(Check({"cover", 10.0, std::nullopt, "mm", 1.0}, face).outcome, "met");
  EXPECT_EQ(Check({"cover", std::nullopt, 10.0, "mm", 1.0}, face).outcome, "met");
}

TEST(HouseSpec, NothingIsJudgedUntilTheHouseSetsLimits) {
  report::Face face;
  report::Muscle cap;
  cap.name = report::MuscleName::kSpinalis;
  cap.marbling_pct = Measured::Of(6.0, 5.0, 7.0, "%", "test");
  face.muscles.push_back(cap);
  EXPECT_TRUE(CheckSpec(nullptr, face).empty());
  HouseSpec spec;
  spec.limits = {{"cap_marbling", 30.0, std::nullopt, "%", 1.0}};
  const auto lines = CheckSpec(&spec, face);
  ASSERT_EQ(lines.size(), 1u);
  EXPECT_EQ(lines[0].outcome, "missed");
}

}  // namespace
}  // namespace ribwright::grade
