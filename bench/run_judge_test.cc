// SPDX-License-Identifier: Apache-2.0
#include "run_judge.h"

#include <gtest/gtest.h>

namespace ribwright::bench {
namespace {

TEST(RefusedOrWarned, CountsWhatSaysNotToTrust) {
  report::PhotoReport report;
  EXPECT_FALSE(RefusedOrWarned(report));
  report.warnings.push_back({Code::kMaturityAssumed, "Maturity A is assumed."});
  report.warnings.push_back({Code::kCardNotFound, "No card."});
  EXPECT_FALSE(RefusedOrWarned(report));
  report.warnings.push_back({Code::kGlareHeavy, "Glare."});
  EXPECT_TRUE(RefusedOrWarned(report));
  report::PhotoReport refused;
  refused.error = Error{Code::kNoFace, "None.", "photo", "Try again."};
  EXPECT_TRUE(RefusedOrWarned(refused));
}

TEST(RunJudge, SaysWhenTheProgramCannotBeRun) {
  const auto report = RunJudge("/no/such/program", "p.jpg", {}, "/tmp/no_such.json", false);
  ASSERT_FALSE(report);
}

}  // namespace
}  // namespace ribwright::bench
