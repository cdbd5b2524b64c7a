// SPDX-License-Identifier: Apache-2.0
#include "cooking/probe.h"

#include <gtest/gtest.h>

#include <cmath>
#include <vector>

#include "math/rng.h"

namespace ribwright::cooking {
namespace {

CookRequest Steak() {
  CookRequest r;
  r.method = Method::kPan;
  r.thickness_mm = 30.0;
  r.target_c = 55.0;
  r.flips = 3;
  return r;
}

std::vector<TimedTemperature> Readings(const std::vector<TimedTemperature>& truth, double until,
                                       math::Rng& rng) {
  std::vector<TimedTemperature> out;
  for (double t = 10.0; t <= until; t += 10.0) {
    out.push_back({t, ValueAt(truth, t) + rng.Normal(0.0, 0.4)});
  }
  return out;
}

TEST(Probe, CorrectsAWrongThicknessAndPanByHalfTime) {
  const CookRequest request = Steak();
  const auto plan = PlanCook(request);
  ASSERT_TRUE(plan);
  const CookCourse course = CourseOf(*plan);
  math::Rng rng(7);
  int held = 0, near = 0;
  constexpr int kCooks = 12;
  for (int i = 0; i < kCooks; ++i) {
    Deviation d;
    d.thickness = rng.Uniform(0.85, 1.15);
    d.h = std::exp(rng.Normal(0.0, 0.18));
    d.hot_k = rng.Normal(0.0, 10.0);
    const auto truth = CoreCurve(request, course, d, 2.2 * plan->cook_s);
    const double pull = TimeAt(truth, course.pull_c);
    ASSERT_GT(pull, 0.0);
    const auto live = EstimateLive(request, course, Readings(truth, 0.5 * pull, rng));
    ASSERT_TRUE(live) << live.error().message;
    ASSERT_TRUE(live->pull_s.value);
    held += live->pull_s.low <= pull && pull <= live->pull_s.high;
    near += std::fabs(*live->pull_s.value - pull) <= 45.0;
  }
  EXPECT_GE(held, 9);  // 90 % of 12 less two deviations
  EXPECT_GE(near, 10);
}

TEST(Probe, KnowsWhenTheCoreIsThere) {
  const CookRequest request = Steak();
  const CookCourse course{3, 600.0, 0.0, 30.0};
  math::Rng rng(3);
  const auto truth = CoreCurve(request, course, {}, 900.0);
  const double pull = TimeAt(truth, 30.0);
  ASSERT_GT(pull, 0.0);
  const auto live = EstimateLive(request, course, Readings(truth, pull + 40.0, rng));
  ASSERT_TRUE(live);
  EXPECT_TRUE(live->reached);
  EXPECT_NEAR(*live->left_s.value, 0.0, 1e-9);
  EXPECT_NEAR(*live->core_c.value, ValueAt(truth, pull + 40.0), 0.5);
}

TEST(Probe, RefusesReadingsThatAreNotTheMiddle) {
  const CookRequest request = Steak();
  const CookCourse course{3, 600.0, 0.0, 45.0};
  const auto code = [&](std::vector<TimedTemperature> readings) {
    const auto live = EstimateLive(request, course, readings);
    EXPECT_FALSE(live);
    return live ? Code::kInternal : live.error().code;
  };
  EXPECT_EQ(code({{0, 5}, {10, 5}}), Code::kProbeUnusable);
  EXPECT_EQ(code({{0, 41}, {30, 41.5}, {60, 42}}), Code::kProbeUnusable);  // Fahrenheit
  EXPECT_EQ(code({{0, 5}, {30, 6}, {40, 60}}), Code::kProbeUnusable);      // out of the meat
  EXPECT_EQ(code({{0, 5}, {30, 6}, {20, 7}}), Code::kProbeUnusable);
  EXPECT_EQ(code({{0, 5}, {300, 55}, {600, 105}}), Code::kProbeUnusable);
  // A core that hardly warms cannot be this piece.
  std::vector<TimedTemperature> flat;
  for (int i = 0; i <= 60; ++i) flat.push_back({10.0 * i, 5.0});
  EXPECT_EQ(code(flat), Code::kProbeUnusable);
}

}  // namespace
}  // namespace ribwright::cooking
