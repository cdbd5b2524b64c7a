// SPDX-License-Identifier: Apache-2.0
// Published rows of the Japanese and Korean scales, of fat from area, and of density.
#include <gtest/gtest.h>

#include <array>
#include <string>

#include "base/golden.h"
#include "grade/imf.h"
#include "grade/japan.h"
#include "grade/japan_odds.h"
#include "grade/korea.h"
#include "grade/weight.h"

namespace ribwright::grade {
namespace {

std::vector<GoldenRow> Rows(const std::string& file, const std::vector<GoldenInput>& inputs,
                            CellKind expected = CellKind::kNumber) {
  const auto rows =
      ReadGolden(std::string(RIBWRIGHT_SOURCE_DIR) + "/tests/golden/" + file, inputs, expected);
  if (!rows) {
    ADD_FAILURE() << rows.error().message << " " << rows.error().where;
    return {};
  }
  return *rows;
}

int Whole(const GoldenRow& row, std::string_view column) {
  return static_cast<int>(row.Number(column));
}

TEST(GoldenJapan, MarblingNumbersAndColoursGradeAsPublished) {
  for (const auto& row : Rows("japanese_marbling_grade.csv", {{"bms"}})) {
    EXPECT_TRUE(row.Near(MarblingGradeFromBms(Whole(row, "bms")))) << row.id;
  }
  for (const auto& row :
       Rows("japanese_colour_grade.csv", {{"item", CellKind::kText}, {"number"}})) {
    const int number = Whole(row, "number");
    const int grade =
        row.Text("item") == "lean" ? LeanColourGradeFromBcs(number) : FatColourGradeFromBfs(number);
    EXPECT_TRUE(row.Near(grade)) << row.id;
  }
  for (const auto& row : Rows("japanese_quality_grade.csv",
                              {{"marbling"}, {"lean_colour"}, {"firmness"}, {"fat_colour"}})) {
    EXPECT_TRUE(row.Near(QualityGrade(Whole(row, "marbling"), Whole(row, "lean_colour"),
                                      Whole(row, "firmness"), Whole(row, "fat_colour"))))
        << row.id;
  }
  for (const auto& row : Rows("japanese_old_index.csv", {{"bms"}}, CellKind::kText)) {
    EXPECT_EQ(OldMarblingIndex(Whole(row, "bms")), row.expected) << row.id;
  }
}

TEST(GoldenJapan, YieldScoreUsesThePublishedTermsNotTheTransposedOne) {
  for (const auto& row : Rows("japanese_yield_score.csv", {{"longissimus_cm2"},
                                                           {"rib_thickness_cm"},
                                                           {"left_cold_side_kg"},
                                                           {"subcutaneous_fat_cm"},
                                                           {"beef_breed"}})) {
    const double score =
        JapaneseYieldScore({row.Number("longissimus_cm2"), row.Number("rib_thickness_cm"),
                            row.Number("left_cold_side_kg"), row.Number("subcutaneous_fat_cm"),
                            row.Number("beef_breed") != 0.0});
    EXPECT_TRUE(row.Near(score)) << row.id << " " << score;
  }
  for (const auto& row : Rows("japanese_yield_letter.csv", {{"score"}}, CellKind::kText)) {
    EXPECT_EQ(std::string(1, JapaneseYieldLetter(row.Number("score"))), row.expected) << row.id;
  }
}

TEST(GoldenJapan, CrudeFatAndAreaFollowThePublishedRegressions) {
  for (const auto& row : Rows("japanese_crude_fat.csv", {{"bms"}})) {
    EXPECT_TRUE(row.Near(CrudeFatFromBms(row.Number("bms")))) << row.id;
  }
  for (const auto& row : Rows("japanese_area_by_bms.csv", {{"bms"}})) {
    EXPECT_TRUE(row.Near(AreaFromBms(Whole(row, "bms")))) << row.id;
  }
  double last = 0.0;
  for (int bms = 1; bms <= kHighestBms; ++bms) {
    EXPECT_GT(AreaFromBms(bms), last) << bms;
    last = AreaFromBms(bms);
  }
}

TEST(GoldenJapan, TheMeanPublishedFaceIsJudgedNearItsMeanNumber) {
  const auto share = SplitNormal::From(Measured::Exact(48.88, "%"), 0.0, 100.0);
  const BmsOdds odds = BmsOddsFromArea(*share, BmsAreaSd(1.0, true));
  double mean = 0.0;
  for (int bms = 1; bms <= kHighestBms; ++bms) {
    mean += bms * odds[static_cast<std::size_t>(bms - 1)];
  }
  EXPECT_NEAR(mean, 6.1, 0.5);
}

TEST(GoldenKorea, YieldIndexAgreesWithThePrintedRow) {
  for (const auto& row :
       Rows("korean_yield_index.csv", {{"fat_mm"}, {"ribeye_cm2"}, {"carcass_kg"}})) {
    EXPECT_TRUE(row.Near(KoreanYieldIndex(row.Number("fat_mm"), row.Number("ribeye_cm2"),
                                          row.Number("carcass_kg"), true)))
        << row.id;
  }
  for (const auto& row : Rows("korean_yield_letter.csv", {{"index"}}, CellKind::kText)) {
    EXPECT_EQ(std::string(1, KoreanYieldLetter(row.Number("index"))), row.expected) << row.id;
  }
}

TEST(GoldenImf, PublishedLinesAndTheMassBalanceGiveTheirCheckValues) {
  for (const auto& row : Rows("fat_from_area.csv", {{"area_pct"}, {"line", CellKind::kText}})) {
    const auto& name = row.Text("line");
    const AreaLine line = name == "A"   ? AreaLine::kStationA
                          : name == "B" ? AreaLine::kStationB
                                        : AreaLine::kAll;
    const double fat = FatFromAreaLine(row.Number("area_pct"), line);
    EXPECT_TRUE(row.Near(fat)) << row.id << " " << fat;
  }
  for (const auto& row : Rows("fat_from_area_balance.csv", {{"area_pct"}, {"unseen_pct"}})) {
    EXPECT_TRUE(row.Near(FatFromAreaBalance(row.Number("area_pct"), row.Number("unseen_pct"))))
        << row.id;
  }
}

TEST(GoldenWeight, DensitiesAndSteakWeightsAgreeWithTheComputedRows) {
  for (const auto& row : Rows("lean_density.csv", {{"fat_pct"}})) {
    EXPECT_TRUE(row.Near(LeanDensity(row.Number("fat_pct")))) << row.id;
  }
  for (const auto& row : Rows("steak_weight.csv", {{"area_cm2"}, {"thickness_cm"}, {"fat_pct"}})) {
    const std::array layers = {Layer{row.Number("area_cm2"), LeanDensity(row.Number("fat_pct"))}};
    const double grams = FlatPieceWeightG(row.Number("thickness_cm"), layers);
    EXPECT_TRUE(row.Near(grams)) << row.id << " " << grams;
  }
  EXPECT_NEAR(FattyTissueDensity(), 0.9408, 0.00005);  // DW19
}

}  // namespace
}  // namespace ribwright::grade
