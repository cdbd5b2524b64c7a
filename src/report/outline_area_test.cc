// SPDX-License-Identifier: Apache-2.0
#include "report/outline_area.h"

#include <gtest/gtest.h>

#include <algorithm>

namespace ribwright::report {
namespace {

Ring Square(double x, double y, double side) {
  return {{x, y}, {x + side, y}, {x + side, y + side}, {x, y + side}};
}

TEST(OutlineArea, HolesAreTakenOffAndIslandsAddedWhateverTheDirection) {
  Ring hole = Square(2, 2, 6);
  std::reverse(hole.begin(), hole.end());
  EXPECT_DOUBLE_EQ(OutlineArea({Square(0, 0, 10)}), 100.0);
  EXPECT_DOUBLE_EQ(OutlineArea({Square(0, 0, 10), hole}), 64.0);
  EXPECT_DOUBLE_EQ(OutlineArea({Square(2, 2, 6), Square(0, 0, 10), Square(4, 4, 1)}), 65.0);
  EXPECT_DOUBLE_EQ(OutlineArea({Square(0, 0, 1), Square(5, 5, 2)}), 5.0);
  EXPECT_DOUBLE_EQ(OutlineArea({}), 0.0);
}

}  // namespace
}  // namespace ribwright::report
