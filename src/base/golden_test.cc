// SPDX-License-Identifier: Apache-2.0
#include "base/golden.h"

#include <gtest/gtest.h>

#include <cmath>

namespace ribwright {
namespace {

constexpr std::string_view kHeader =
    "id,x_mm,expected,unit,tol_abs,tol_rel,tol_reason,source,locator,status,note\n";
const std::vector<GoldenInput> kInputs = {{"x_mm", CellKind::kNumber}};

Result<std::vector<GoldenRow>> Parse(std::string_view rows) {
  return ParseGolden(std::string(kHeader) + std::string(rows), "g.csv", kInputs);
}

TEST(Golden, ReadsAGoodRowAndComparesWithinItsTolerance) {
  const auto rows = Parse("a,2,12.3,mm,0.05,0,,Book,p. 4,read,\n");
  ASSERT_TRUE(rows.has_value()) << rows.error().message;
  const GoldenRow& row = rows->front();
  EXPECT_EQ(row.Number("x_mm"), 2.0);
  EXPECT_EQ(row.status, GoldenStatus::kRead);
  EXPECT_TRUE(row.Near(12.34));
  EXPECT_FALSE(row.Near(12.36));
  EXPECT_FALSE(row.Near(std::nan("")));
}

TEST(Golden, RefusesEveryFaultThatCouldLetACheckPassUnseen) {
  const struct {
    std::string_view rows;
    std::string_view word;
  } faults[] = {
      {"", "no rows"},
      {"a,2,12.3,mm,0.05,0,,Book,p. 4,read,\na,3,1,mm,0,0,,Book,p. 4,read,\n", "used twice"},
      {"a,2,12.3,,0.05,0,,Book,p. 4,read,\n", "no unit"},
      {"a,2,12.3,mm,0.05,0,,,p. 4,read,\n", "no source"},
      {"a,2,12.3,mm,0.05,0,,Book,,read,\n", "no locator"},
      {",2,12.3,mm,0.05,0,,Book,p. 4,read,\n", "no id"},
      {"a,2,12.3,mm,0.05,0,,Book,p. 4,sure,\n", "no status"},
      {"a,,12.3,mm,0.05,0,,Book,p. 4,read,\n", "not a number"},
      {"a,2,many,mm,0.05,0,,Book,p. 4,read,\n", "not a number"},
      {"a,2,12.3,mm,,0,,Book,p. 4,read,\n", "tolerance"},
      {"a,2,12.3,mm,-1,0,,Book,p. 4,read,\n", "tolerance"},
      {"a,2,12.3,mm,0.06,0,,Book,p. 4,read,\n", "no reason"},
      {"a,2,12.3,mm,0,0.01,,Book,p. 4,read,\n", "no reason"},
      {"a,2,1.23e1,mm,0.06,0,,Book,p. 4,read,\n", "no reason"},
  };
  for (const auto& fault : faults) {
    const auto rows = Parse(fault.rows);
    ASSERT_FALSE(rows.has_value()) << fault.rows;
    EXPECT_EQ(rows.error().code, Code::kDataUnusable);
    EXPECT_NE(rows.error().message.find(fault.word), std::string::npos) << rows.error().message;
  }
  EXPECT_TRUE(Parse("a,2,12.3,mm,0.06,0,inputs rounded,Book,p. 4,read,\n").has_value());
}

TEST(Golden, RefusesAnUnknownAndAMissingColumn) {
  const auto unknown = ParseGolden(
      "id,x_mm,y,expected,unit,tol_abs,tol_rel,tol_reason,source,locator,status,note\n"
      "a,1,1,1,mm,0,0,,B,p,read,\n",
      "g.csv", kInputs);
  ASSERT_FALSE(unknown.has_value());
  EXPECT_NE(unknown.error().message.find("y is not known"), std::string::npos);
  const auto missing = ParseGolden("id,x_mm,expected\na,1,1\n", "g.csv", kInputs);
  ASSERT_FALSE(missing.has_value());
  EXPECT_NE(missing.error().message.find("missing"), std::string::npos);
}

TEST(Golden, ExpectedWordsAndAbsentNumbersAreAllowedWhereDeclared) {
  const auto rows = ParseGolden(std::string(kHeader) + "a,,modest,text,,,,Book,p. 4,memory,\n",
                                "g.csv", {{"x_mm", CellKind::kOptionalNumber}}, CellKind::kText);
  ASSERT_TRUE(rows.has_value()) << rows.error().message;
  EXPECT_EQ(rows->front().expected, "modest");
  EXPECT_FALSE(rows->front().OptionalNumber("x_mm").has_value());
}

}  // namespace
}  // namespace ribwright
