// SPDX-License-Identifier: Apache-2.0
#include "overlap.h"

#include <gtest/gtest.h>

#include <cmath>

namespace ribwright::bench {
namespace {

report::Outline Square(double x, double y, double side) {
  return {{{x, y}, {x + side, y}, {x + side, y + side}, {x, y + side}}};
}

TEST(Overlap, OfEqualOutlinesIsOneAndOfDistantOnesZero) {
  EXPECT_DOUBLE_EQ(Iou(Square(3, 4, 100), Square(3, 4, 100)), 1.0);
  EXPECT_DOUBLE_EQ(Iou(Square(0, 0, 100), Square(300, 0, 100)), 0.0);
  EXPECT_DOUBLE_EQ(Iou({}, {}), 0.0);
}

TEST(Overlap, OfShiftedSquaresIsTheirSharedArea) {
  EXPECT_NEAR(Iou(Square(0, 0, 300), Square(100, 0, 300)), 2.0 / 4.0, 0.01);
}

TEST(Overlap, HolesCountAsOutside) {
  report::Outline holed = Square(0, 0, 300);
  holed.push_back(Square(100, 100, 100)[0]);
  EXPECT_NEAR(Iou(holed, Square(0, 0, 300)), 8.0 / 9.0, 0.01);
}

TEST(Overlap, ThicknessIsTheLargestCircleInMillimetres) {
  const report::Outline bar = {{{0, 0}, {500, 0}, {500, 100}, {0, 100}}};
  EXPECT_NEAR(ThickestMm(bar, cv::Matx33d::diag({10.0, 10.0, 1.0})), 10.0, 0.4);
  EXPECT_DOUBLE_EQ(ThickestMm({}, cv::Matx33d::eye()), 0.0);
}

}  // namespace
}  // namespace ribwright::bench
