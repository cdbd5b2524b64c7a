// SPDX-License-Identifier: Apache-2.0
#include "reach_rows.h"

#include <gtest/gtest.h>

#include <array>
#include <cmath>

namespace ribwright::bench {
namespace {

TEST(ReachRows, VerdictFollowsTheLimitAndNotTheRoundedNumber) {
  EXPECT_EQ(AtMost("n", 0.6, 0.6, "points", 1).verdict, Verdict::kOk);
  EXPECT_EQ(AtMost("n", 0.6001, 0.6, "points", 1).verdict, Verdict::kShort);
  EXPECT_EQ(AtLeast("n", 0.9199, 0.92, "", 2).verdict, Verdict::kShort);
  EXPECT_EQ(Between("n", 95.0, 85.0, 95.0, "%", 1).verdict, Verdict::kOk);
  EXPECT_EQ(Between("n", 96.0, 85.0, 95.0, "%", 1).verdict, Verdict::kShort);
  EXPECT_EQ(AtMost("n", std::nan(""), 1.0, "", 1).verdict, Verdict::kShort);
}

TEST(ReachRows, ExitIsZeroOnlyWhenAllAreOk) {
  const Row ok = AtMost("a", 1.0, 2.0, "s", 1);
  const Row bad = AtMost("b", 3.0, 2.0, "s", 1);
  const Row off = Skipped("c", "<= 1 s", "no photos");
  EXPECT_EQ(ExitCode(std::array{ok, ok}), 0);
  EXPECT_EQ(ExitCode(std::array{ok, off, bad}), 1);
  EXPECT_EQ(ExitCode(std::array{ok, off}), 4);
}

TEST(ReachRows, LineHoldsNameMeasuredLimitAndVerdict) {
  const std::string line = Line(AtMost("wall clock", 1.25, 1.0, "s", 2, "two threads"));
  EXPECT_NE(line.find("wall clock"), std::string::npos);
  EXPECT_NE(line.find("1.25 s | "), std::string::npos);
  EXPECT_NE(line.find("<= 1.00 s | short (two threads)"), std::string::npos);
}

TEST(ReachRows, QuantileLiesBetweenOrderStatistics) {
  EXPECT_DOUBLE_EQ(Quantile({4, 1, 3, 2}, 0.5), 2.5);
  EXPECT_DOUBLE_EQ(Quantile({4, 1, 3, 2}, 1.0), 4.0);
  EXPECT_DOUBLE_EQ(Mean(std::array{1.0, 2.0, 6.0}), 3.0);
}

}  // namespace
}  // namespace ribwright::bench
