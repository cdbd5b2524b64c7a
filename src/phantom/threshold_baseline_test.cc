// SPDX-License-Identifier: Apache-2.0
#include "phantom/threshold_baseline.h"

#include <gtest/gtest.h>

#include <cmath>
#include <opencv2/core.hpp>

#include "phantom/render.h"

namespace ribwright::phantom {
namespace {

TEST(ThresholdBaseline, BothAreRightOnACleanTwoToneEye) {
  cv::Mat rgb(200, 200, CV_8UC3, cv::Scalar(150, 40, 40));
  const cv::Mat eye(200, 200, CV_8U, cv::Scalar(255));
  for (int i = 0; i < 10; ++i)
    rgb(cv::Rect(10, 20 * i + 5, 100, 4)).setTo(cv::Scalar(230, 220, 200));
  const double truth = 100.0 * 10 * 400 / 40000;
  EXPECT_NEAR(GlobalThresholdMarbling(rgb, eye), truth, 1e-9);
  EXPECT_NEAR(LocalThresholdMarbling(rgb, eye, 5.0), truth, 1e-9);
  EXPECT_EQ(GlobalThresholdMarbling(rgb, cv::Mat::zeros(200, 200, CV_8U)), 0.0);
}

TEST(ThresholdBaseline, MixedPhantomsDefeatBoth) {
  double global = 0, local = 0;
  int n = 0;
  for (std::uint64_t seed = 300; seed < 305; ++seed) {
    RecipeOptions options;
    options.cut = Cut::kRib;
    options.card = false;
    Recipe r = DrawRecipe(seed, options);
    r.px_per_mm = std::min(r.px_per_mm, 7.0);
    r.raster_px_per_mm = 10.0;
    r.pieces = 1;
    const auto phantom = Render(r);
    ASSERT_TRUE(phantom);
    const cv::Mat eye = phantom->muscle == 1 + static_cast<int>(report::MuscleName::kLongissimus);
    const double truth = *phantom->truth.faces[0].muscles[0].marbling_pct.value;
    global += std::abs(GlobalThresholdMarbling(phantom->rgb, eye) - truth);
    local += std::abs(LocalThresholdMarbling(phantom->rgb, eye, r.px_per_mm) - truth);
    ++n;
  }
  EXPECT_GE(global / n, 1.5);
  EXPECT_GE(local / n, 1.5);
}

}  // namespace
}  // namespace ribwright::phantom
