// SPDX-License-Identifier: Apache-2.0
// Published rows of the US scales (tests/golden/us_*.csv).
#include <gtest/gtest.h>

#include <cmath>
#include <string>

#include "base/golden.h"
#include "grade/us_marbling.h"
#include "grade/us_quality.h"
#include "grade/us_yield.h"

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

UsGrade GradeFromText(const std::string& text) {
  for (int i = 0; i < kUsGrades; ++i) {
    if (UsGradeText(static_cast<UsGrade>(i)) == text) return static_cast<UsGrade>(i);
  }
  ADD_FAILURE() << text;
  return UsGrade::kCanner;
}

const std::vector<GoldenInput> kYield = {{"hcw_lb"}, {"fat_in"}, {"rea_in2"}, {"kph_pct"}};

YieldInputs YieldOf(const GoldenRow& row) {
  YieldInputs in;
  in.hcw_lb = row.Number("hcw_lb");
  in.fat_in = row.Number("fat_in");
  in.rea_in2 = row.Number("rea_in2");
  in.kph_pct = row.Number("kph_pct");
  return in;
}

TEST(GoldenUs, EveryCellOfTheGradeMatrixIsThePublishedOne) {
  for (const auto& row :
       Rows("us_quality_cell.csv", {{"degree", CellKind::kText}, {"maturity", CellKind::kText}},
            CellKind::kText)) {
    const Cell cell =
        CellOf(*DegreeFromText(row.Text("degree")), MaturityFromText(row.Text("maturity"))->group);
    std::string text(UsGradeText(cell.better));
    if (cell.lesser != cell.better) text.append("/").append(UsGradeText(cell.lesser));
    EXPECT_EQ(text, row.expected) << row.id;
  }
}

TEST(GoldenUs, TheLowestMarblingOfEachGradeIsThePublishedFloor) {
  for (const auto& row :
       Rows("us_grade_floor.csv", {{"grade", CellKind::kText}, {"maturity", CellKind::kText}},
            CellKind::kText)) {
    const double units = 100.0 * static_cast<double>(MaturityFromText(row.Text("maturity"))->group);
    double score = kLowestScore;
    while (score < kScoreEnd && GradeAt(score, units) != GradeFromText(row.Text("grade"))) {
      score += 1.0;
    }
    ASSERT_LT(score, kScoreEnd) << row.id;
    std::string floor(DegreeText(DegreeFromScore(score)));
    floor += SubUnits(score) == 0.0 ? "00" : "";
    EXPECT_EQ(floor, row.expected) << row.id;
  }
}

TEST(GoldenUs, SubGradesStartAndEndWhereThePublishedTableSays) {
  for (const auto& row :
       Rows("us_sub_grade.csv", {{"score_low"}, {"score_high"}}, CellKind::kText)) {
    EXPECT_EQ(SubGradeAtA(row.Number("score_low")), row.expected) << row.id;
    EXPECT_EQ(SubGradeAtA(row.Number("score_high")), row.expected) << row.id;
  }
}

TEST(GoldenUs, ScalesStandInThePublishedOrder) {
  for (const auto& row :
       Rows("us_scale_order.csv", {{"scale", CellKind::kText}}, CellKind::kText)) {
    std::string text;
    const bool grades = row.Text("scale") == "grades";
    for (int i = 0; i < (grades ? kUsGrades : kDegrees); ++i) {
      if (i > 0) text += "; ";
      text += std::string(grades ? UsGradeText(static_cast<UsGrade>(i))
                                 : DegreeText(static_cast<Degree>(i)));
    }
    EXPECT_EQ(text, row.expected) << row.id;
  }
}

TEST(GoldenUs, AgesAndTeethGiveThePublishedMaturityGroup) {
  for (const auto& row : Rows("us_maturity_age.csv",
                              {{"months_low", CellKind::kOptionalNumber},
                               {"months_high", CellKind::kOptionalNumber},
                               {"incisors", CellKind::kOptionalNumber}},
                              CellKind::kText)) {
    const auto expected = MaturityFromText(row.expected)->group;
    for (const char* column : {"months_low", "months_high"}) {
      if (const auto months = row.OptionalNumber(column)) {
        EXPECT_EQ(GroupFromAgeMonths(*months), expected) << row.id;
      }
    }
    if (const auto teeth = row.OptionalNumber("incisors")) {
      EXPECT_EQ(GroupFromIncisors(static_cast<int>(*teeth)), expected) << row.id;
    }
  }
}

TEST(GoldenUs, MaturityIsBalancedByThePublishedRule) {
  for (const auto& row : Rows("us_maturity_balance.csv", {{"skeletal_units"}, {"lean_units"}})) {
    EXPECT_TRUE(row.Near(BalancedMaturity(row.Number("skeletal_units"), row.Number("lean_units"))))
        << row.id;
  }
}

TEST(GoldenUs, DarkCuttingTakesNoMoreThanThePublishedPart) {
  for (const auto& row : Rows("us_dark_cutting_limit.csv", {{"grade", CellKind::kText}})) {
    EXPECT_TRUE(row.Near(LargestDarkReduction(GradeFromText(row.Text("grade"))))) << row.id;
  }
  for (const auto& row : Rows("us_grade_point.csv", {{"score"}, {"maturity_units"}, {"dark_part"}},
                              CellKind::kText)) {
    EXPECT_EQ(UsGradeText(GradeAtDark(row.Number("score"), row.Number("maturity_units"),
                                      row.Number("dark_part"))),
              row.expected)
        << row.id;
  }
}

TEST(GoldenUs, YieldGradeEquationGivesThePublishedExamples) {
  auto inputs = kYield;
  inputs.push_back({"border", CellKind::kOptionalNumber});
  for (const auto& row : Rows("us_yield_grade.csv", inputs)) {
    const double grade = YieldGrade(YieldOf(row));
    EXPECT_TRUE(row.Near(grade)) << row.id << " " << grade;
    // The standard calls these examples borderline between two classes.
    if (const auto border = row.OptionalNumber("border")) {
      EXPECT_NEAR(grade, *border, 0.15) << row.id;
    }
    if (row.id == "YG22") {
      EXPECT_GT(std::abs(grade - 1.95), 0.25);
    }
    if (row.id == "YG14") {
      EXPECT_EQ(YieldClass(grade), 2);
    }
  }
  for (const auto& row : Rows("us_yield_step.csv", kYield)) {
    EXPECT_TRUE(row.Near(YieldGrade(YieldOf(row)) - YieldGrade({}))) << row.id;
  }
  for (const auto& row : Rows("us_short_cut.csv", kYield)) {
    EXPECT_TRUE(row.Near(ShortCutYieldGrade(YieldOf(row)))) << row.id;
  }
}

TEST(GoldenUs, YieldClassIsNeverRoundedUpAndStaysInOneToFive) {
  EXPECT_EQ(YieldClass(-0.4), 1);
  EXPECT_EQ(YieldClass(1.999), 1);
  EXPECT_EQ(YieldClass(2.0), 2);
  EXPECT_EQ(YieldClass(4.999), 4);
  EXPECT_EQ(YieldClass(7.3), 5);
}

TEST(GoldenUs, RetailCutsReproduceThePrintedLotMeansAndClasses) {
  for (const auto& row : Rows("us_retail_cuts.csv", kYield)) {
    const double pct = RetailCutsPct(YieldOf(row));
    EXPECT_TRUE(row.Near(pct)) << row.id << " " << pct;
  }
  for (const auto& row : Rows("us_retail_class.csv", {{"retail_cuts_pct"}})) {
    EXPECT_TRUE(row.Near(ClassFromRetailCuts(row.Number("retail_cuts_pct")))) << row.id;
  }
}

TEST(GoldenUs, FatTablesAndLinesGiveThePublishedPercentages) {
  for (const auto& row :
       Rows("us_fat_by_degree.csv", {{"degree", CellKind::kText}, {"table", CellKind::kText}})) {
    const Degree degree = *DegreeFromText(row.Text("degree"));
    const auto fat = row.Text("table") == "BIF" ? BifFat(degree) : SavellFat(degree);
    ASSERT_TRUE(fat) << row.id;
    EXPECT_TRUE(row.Near(*fat)) << row.id;
  }
  for (const auto& row : Rows("us_fat_line.csv", {{"score"}, {"method", CellKind::kText}})) {
    const auto& method = row.Text("method");
    const FatMethod by = method == "folch" ? FatMethod::kFolch
                         : method == "nmr" ? FatMethod::kNmr
                                           : FatMethod::kEther;
    EXPECT_TRUE(row.Near(FatFromScoreLine(row.Number("score"), by))) << row.id;
  }
  for (const auto& row : Rows("us_fat_band.csv", {{"score"}})) {
    EXPECT_TRUE(row.Near(FatFromScore(row.Number("score")))) << row.id;
  }
}

TEST(GoldenUs, NumericCodingsNameThePublishedDegree) {
  for (const auto& row :
       Rows("us_marbling_coding.csv", {{"coding"}, {"table", CellKind::kText}}, CellKind::kText)) {
    const double coding = row.Number("coding");
    const double score =
        row.Text("table") == "older" ? ScoreFromOlderCoding(coding) : 100.0 * coding;
    EXPECT_EQ(DegreeText(DegreeFromScore(score)), row.expected) << row.id;
    if (row.Text("table") != "older") {
      EXPECT_DOUBLE_EQ(NumericCoding(score), coding);
    }
  }
}

}  // namespace
}  // namespace ribwright::grade
