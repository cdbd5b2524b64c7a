// SPDX-License-Identifier: Apache-2.0
#include "units/measured.h"

#include <gtest/gtest.h>

#include <limits>

namespace ribwright {
namespace {

TEST(Measured, AKnownNumberNeedsAnIntervalRoundItAUnitAndABasis) {
  EXPECT_TRUE(Measured::Of(5, 4, 6, "%", "test").Valid());
  EXPECT_FALSE(Measured::Of(5, 5.5, 6, "%", "test").Valid());
  EXPECT_FALSE(Measured::Of(5, 4, 6, "", "test").Valid());
  EXPECT_FALSE(Measured::Of(5, 4, 6, "%", "").Valid());
  const double nan = std::numeric_limits<double>::quiet_NaN();
  EXPECT_FALSE(Measured::Of(nan, 4, 6, "%", "test").Valid());
}

TEST(Measured, AnUnknownNumberNeedsAReason) {
  EXPECT_TRUE(Measured::Unknown("mm", "no scale").Valid());
  EXPECT_FALSE(Measured::Unknown("mm", "").Valid());
}

}  // namespace
}  // namespace ribwright
