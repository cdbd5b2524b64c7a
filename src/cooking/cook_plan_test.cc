// SPDX-License-Identifier: Apache-2.0
#include "cooking/cook_plan.h"

#include <gtest/gtest.h>

#include <cmath>

#include "cooking/cook_run.h"
#include "cooking/replay.h"
#include "cooking/ticket.h"

namespace ribwright::cooking {
namespace {

CookRequest Steak(Method method, double thickness_mm, double target_c) {
  CookRequest r;
  r.method = method;
  r.thickness_mm = thickness_mm;
  r.target_c = target_c;
  return r;
}

CookPlan Must(const CookRequest& request) {
  auto plan = PlanCook(request);
  if (!plan) {
    ADD_FAILURE() << plan.error().message;
    return {};
  }
  return *plan;
}

TEST(CookPlan, TheCorePeaksAtTheTargetByEveryMethod) {
  for (const Method method :
       {Method::kPan, Method::kGrill, Method::kOven, Method::kReverseSear, Method::kBathThenSear}) {
    const CookPlan plan = Must(Steak(method, 32.0, 55.0));
    if (plan.steps.empty()) continue;
    EXPECT_NEAR(*plan.peak_c.value, 55.0, 0.3) << MethodText(method);
    EXPECT_LE(*plan.pull_c.value, *plan.peak_c.value + 0.05) << MethodText(method);
    EXPECT_LT(plan.peak_c.low, 55.0);
    EXPECT_GT(*plan.loss_pct.value, 1.0) << MethodText(method);
    EXPECT_LT(*plan.loss_pct.value, 40.0) << MethodText(method);
    EXPECT_LT(std::fabs(plan.heat.Residual()), 1e-4 * plan.heat.outside_j_m2);
    EXPECT_EQ(plan.steps.back().what, "rest");
  }
}

TEST(CookPlan, AnIndependentReplayFindsTheSamePeak) {
  for (const Method method : {Method::kPan, Method::kReverseSear}) {
    const CookRequest r = Steak(method, 30.0, 57.0);
    const CookPlan plan = Must(r);
    const double x = method == Method::kReverseSear ? plan.steps.front().lasts_s : plan.cook_s;
    if (plan.steps.empty()) continue;
    auto stages = Stages(r, plan.flips, x, 0.0);
    const Hardware w;
    const Surroundings room{w.room_h, w.room_c, false, w.room_wetness, VapourOfAir(w.room_c, 0.5)};
    stages.push_back({"rest", room, room, plan.rest_s});
    const Replayed replayed = Replay(*CompositionFromFat(r.fat_pct), 0.030, r.start_c, stages, 75);
    EXPECT_NEAR(replayed.core_c, *plan.peak_c.value, 1.0) << MethodText(method);
  }
}

TEST(CookPlan, TurnsTheWayACookExpects) {
  const CookPlan base = Must(Steak(Method::kPan, 30.0, 55.0));
  EXPECT_GT(Must(Steak(Method::kPan, 40.0, 55.0)).cook_s, base.cook_s);
  EXPECT_GT(Must(Steak(Method::kPan, 30.0, 62.0)).cook_s, base.cook_s);
  CookRequest warm = Steak(Method::kPan, 30.0, 55.0);
  warm.start_c = 20.0;
  EXPECT_LT(Must(warm).cook_s, base.cook_s);
  // Slow heat leaves less grey than a pan alone, and less carry-over.
  const CookPlan slow = Must(Steak(Method::kReverseSear, 40.0, 55.0));
  const CookPlan fast = Must(Steak(Method::kPan, 40.0, 55.0));
  EXPECT_LT(slow.grey_a_mm + slow.grey_b_mm, fast.grey_a_mm + fast.grey_b_mm);
  EXPECT_LT(*slow.peak_c.value - *slow.pull_c.value, *fast.peak_c.value - *fast.pull_c.value);
  // More flips, more even.
  CookRequest once = Steak(Method::kPan, 40.0, 55.0), often = once;
  once.flips = 1;
  often.flips = 9;
  const CookPlan a = Must(once), b = Must(often);
  EXPECT_LT(b.grey_a_mm + b.grey_b_mm, a.grey_a_mm + a.grey_b_mm);
  EXPECT_EQ(b.flips, 9);
  CookRequest weighed = Steak(Method::kPan, 30.0, 55.0);
  weighed.weight_g = 400.0;
  const CookPlan w = Must(weighed);
  EXPECT_NEAR(*w.serving_g.value, 400.0 * (1.0 - *w.loss_pct.value / 100.0), 1e-9);
}

TEST(CookPlan, FrozenMeatIsPlannedOnlyWhenAsked) {
  CookRequest r = Steak(Method::kReverseSear, 30.0, 55.0);
  r.start_c = -18.0;
  EXPECT_EQ(PlanCook(r).error().code, Code::kCookUnusable);
  const CookPlan fresh = Must(Steak(Method::kReverseSear, 30.0, 55.0));
  r.from_frozen = true;
  EXPECT_GT(Must(r).cook_s, 1.2 * fresh.cook_s);
}

TEST(CookPlan, TheBathCanMeetTheTable) {
  CookRequest r = Steak(Method::kBathThenSear, 25.0, 58.0);
  r.meet_table = true;
  EXPECT_EQ(PlanCook(r).error().code, Code::kCookUnusable);  // the sear wants too cool a bath
  r.target_c = 61.0;
  r.sear_seconds = 30.0;
  const CookPlan held = Must(r);
  r.meet_table = false;
  const CookPlan quick = Must(r);
  EXPECT_GE(held.table_credit, 1.0);
  EXPECT_LT(quick.table_credit, 1.0);
  EXPECT_GT(held.cook_s, quick.cook_s);
}

TEST(Ticket, AllAreReadyAtOnceAndPlacesHold) {
  const CookPlan thin = Must(Steak(Method::kPan, 20.0, 55.0));
  const CookPlan thick = Must(Steak(Method::kPan, 45.0, 55.0));
  const auto lines = ScheduleTicket({{"thin", thin}, {"thick", thick}});
  ASSERT_TRUE(lines);
  EXPECT_EQ(lines->front().piece, "thick");
  EXPECT_NEAR(lines->front().at_s, -(thick.cook_s + thick.rest_s), 1e-9);
  int plated = 0;
  for (std::size_t i = 0; i < lines->size(); ++i) {
    if (i > 0) {
      EXPECT_LE((*lines)[i - 1].at_s, (*lines)[i].at_s);
    }
    plated += (*lines)[i].what == "plate" && (*lines)[i].at_s == 0.0;
  }
  EXPECT_EQ(plated, 2);
  const std::vector<TicketPiece> three{{"a", thick}, {"b", thick}, {"c", thick}};
  EXPECT_TRUE(ScheduleTicket(three, {{"pan", 3}}));
  EXPECT_EQ(ScheduleTicket(three, {{"pan", 2}}).error().code, Code::kCookUnusable);
  EXPECT_FALSE(ScheduleTicket({}));
}

TEST(CookPlan, RefusesWhatCannotBe) {
  const auto code = [](CookRequest r) { return PlanCook(r).error().code; };
  EXPECT_EQ(code(Steak(Method::kPan, 0.0, 55.0)), Code::kCookUnusable);
  EXPECT_EQ(code(Steak(Method::kPan, 1.5, 55.0)), Code::kCookUnusable);
  EXPECT_EQ(code(Steak(Method::kPan, std::nan(""), 55.0)), Code::kCookUnusable);
  EXPECT_EQ(code(Steak(Method::kPan, 30.0, 130.0)), Code::kCookUnusable);
  EXPECT_NE(PlanCook(Steak(Method::kPan, 30.0, 130.0)).error().mend.find("54.4"),
            std::string::npos);
  CookRequest r = Steak(Method::kPan, 30.0, 55.0);
  r.meat = MeatCase::kGround;
  EXPECT_EQ(code(r), Code::kCookUnsafe);
  r = Steak(Method::kOven, 30.0, 55.0);
  r.hardware.oven_c = 50.0;
  EXPECT_EQ(code(r), Code::kCookUnusable);
  r = Steak(Method::kPan, 10.0, 55.0);
  r.hardware.pan_c = 900.0;
  EXPECT_EQ(code(r), Code::kCookUnusable);
  r = Steak(Method::kReverseSear, 10.0, 45.0);
  r.sear_seconds = 300.0;
  EXPECT_EQ(code(r), Code::kCookUnusable);
  EXPECT_FALSE(MethodFromText("fry"));
  EXPECT_EQ(*MethodFromText("bath"), Method::kBathThenSear);
}

}  // namespace
}  // namespace ribwright::cooking
