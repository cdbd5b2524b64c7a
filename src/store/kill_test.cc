// SPDX-License-Identifier: Apache-2.0
#include <gtest/gtest.h>

#include "store/kill_trial.h"
#include "store/test_house.h"

namespace ribwright::store {
namespace {

// bench/reach ledger does 200 of these.
TEST(Kill, LosesNoAcknowledgedEventAndLeavesASoundLedger) {
  TestFolder folder;
  math::Rng rng(41);
  std::int64_t acknowledged = 0;
  for (int i = 0; i < 8; ++i) {
    const auto after = std::chrono::microseconds(500 + rng.Below(120'000));
    const KillTrial trial =
        RunKillTrial(folder.path(), 1000U + static_cast<std::uint64_t>(i), after);
    EXPECT_EQ(trial.lost, 0) << "killed after " << after.count() << " us";
    for (const Error& fault : trial.faults) ADD_FAILURE() << fault.message << " " << fault.where;
    EXPECT_GE(trial.events, acknowledged += trial.acknowledged);
  }
  EXPECT_GT(acknowledged, 8);
}

}  // namespace
}  // namespace ribwright::store
