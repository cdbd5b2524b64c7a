// SPDX-License-Identifier: Apache-2.0
#include "case_table.h"

#include <gtest/gtest.h>

#include <algorithm>

#include "quantities.h"

namespace ribwright::bench {
namespace {

// Eye marbling off by `error` points with an interval of +- half_width; all else unknown.
CaseResult Marbled(double truth, double error, double half_width) {
  CaseResult c;
  c.readings.resize(Quantities().size());
  const double value = truth + error;
  Reading& eye = c.readings[QuantityIndex("eye marbling")];
  eye.truth = truth;
  eye.judged = Measured::Of(value, value - half_width, value + half_width, "%", "test");
  c.eye_iou = 0.95;
  return c;
}

CaseResult Refused(double truth) {
  CaseResult c = Marbled(truth, 0.0, 1.0);
  c.readings[QuantityIndex("eye marbling")].judged.reset();
  c.refusal = "no_face";
  c.eye_iou = 0.0;
  return c;
}

const Row& Named(const std::vector<Row>& rows, const std::string& start) {
  const auto found = std::find_if(rows.begin(), rows.end(),
                                  [&](const Row& row) { return row.name.starts_with(start); });
  EXPECT_NE(found, rows.end()) << start;
  return *found;
}

TEST(AccuracyRows, SplitMarblingAtTenPercentOfTruth) {
  const std::vector<CaseResult> cases = {Marbled(5, 0.4, 1), Marbled(5, -0.6, 1),
                                         Marbled(20, 2.0, 1)};
  const auto rows = AccuracyRows(cases);
  EXPECT_EQ(Named(rows, "eye marbling, truth under").measured, "0.50 points");
  EXPECT_EQ(Named(rows, "eye marbling, truth under").verdict, Verdict::kOk);
  EXPECT_EQ(Named(rows, "eye marbling, truth 10 %").measured, "10.0 %");
  EXPECT_EQ(Named(rows, "eye marbling, truth 10 %").verdict, Verdict::kShort);
}

TEST(AccuracyRows, ARefusalIsAMissAndAnEyeNotFound) {
  std::vector<CaseResult> cases(19, Marbled(5, 0.1, 1));
  cases.push_back(Refused(5));
  const auto rows = AccuracyRows(cases);
  EXPECT_EQ(Named(rows, "missed (null or refused): eye marbling").measured, "5.0 %");
  EXPECT_EQ(Named(rows, "missed (null or refused): eye marbling").verdict, Verdict::kShort);
  EXPECT_EQ(Named(rows, "eye of rib and strip").measured, "95.0 %");
  EXPECT_EQ(Named(rows, "eye of rib and strip").verdict, Verdict::kOk);
}

TEST(AccuracyRows, RowsWithoutACaseAreSkippedNotOk) {
  const auto rows = AccuracyRows(std::vector<CaseResult>{Marbled(5, 0.1, 1)});
  EXPECT_EQ(Named(rows, "eye area").verdict, Verdict::kSkipped);
  EXPECT_EQ(Named(rows, "set not too easy: global").verdict, Verdict::kSkipped);
}

TEST(IntervalRows, CountHeldTruthsAndWidth) {
  std::vector<CaseResult> cases(9, Marbled(5, 0.5, 1.0));
  cases.push_back(Marbled(5, 2.0, 1.0));
  const auto rows = IntervalRows("mixed", cases);
  EXPECT_EQ(Named(rows, "mixed, eye marbling: 90 %").measured, "90.0 %");
  EXPECT_EQ(Named(rows, "mixed, eye marbling: 90 %").verdict, Verdict::kOk);
  EXPECT_EQ(Named(rows, "mixed, eye marbling: mean width").measured, "3.1");
  EXPECT_EQ(Named(rows, "mixed, cap area").verdict, Verdict::kSkipped);
}

TEST(CasesAsCsv, HasOneFieldAColumnOnEveryLine) {
  std::vector<CaseResult> cases = {Marbled(5, 0.5, 1.0), Refused(7)};
  cases[0].bare = cases[0].readings;
  const std::string csv = CasesAsCsv(cases);
  std::vector<std::ptrdiff_t> commas;
  for (std::size_t at = 0; at < csv.size();) {
    const std::size_t end = csv.find('\n', at);
    commas.push_back(std::count(csv.begin() + static_cast<std::ptrdiff_t>(at),
                                csv.begin() + static_cast<std::ptrdiff_t>(end), ','));
    at = end + 1;
  }
  ASSERT_EQ(commas.size(), 4U);
  EXPECT_EQ(std::count(commas.begin(), commas.end(), commas.front()), 4);
}

}  // namespace
}  // namespace ribwright::bench
