// SPDX-License-Identifier: Apache-2.0
// Sampling plans, claims, supplier record.
#include "costing/acceptance.h"

#include <gtest/gtest.h>

#include <boost/math/distributions/hypergeometric.hpp>
#include <cmath>
#include <filesystem>

#include "base/golden.h"
#include "costing/claims.h"
#include "math/rng.h"

namespace ribwright::costing {
namespace {

TEST(Acceptance, TextbookCharacteristicOfEightyNineWithTwoAllowed) {
  const auto rows =
      ReadGolden(std::filesystem::path(RIBWRIGHT_SOURCE_DIR) / "tests/golden/acceptance_oc.csv",
                 {{"sample"}, {"allowed"}, {"share"}});
  ASSERT_TRUE(rows) << rows.error().message << rows.error().where;
  for (const GoldenRow& row : *rows) {
    const auto odds = OddsAccept(
        {static_cast<int>(row.Number("sample")), static_cast<int>(row.Number("allowed"))}, {},
        row.Number("share"));
    ASSERT_TRUE(odds);
    EXPECT_TRUE(row.Near(*odds)) << row.id << " " << *odds;
  }
}

TEST(Acceptance, FiniteDeliveriesAreHypergeometric) {
  for (const int bad : {0, 1, 3, 7, 12}) {
    const boost::math::hypergeometric law(static_cast<unsigned>(bad), 6, 20);
    const auto odds = OddsAccept({6, 1}, {20, 1.0, 1.0}, bad / 20.0);
    ASSERT_TRUE(odds);
    double expected = boost::math::pdf(law, 0);
    if (bad > 0) expected += boost::math::pdf(law, 1);
    EXPECT_NEAR(*odds, expected, 1e-10) << bad;
  }
}

TEST(Acceptance, AnErringJudgeAgreesWithSimulation) {
  const Lot lot{30, 0.8, 0.9};
  math::Rng rng(17);
  int accepted = 0;
  constexpr int kTurns = 40'000;
  for (int turn = 0; turn < kTurns; ++turn) {
    int bad_left = 9;
    int shown = 0;
    for (int i = 0; i < 8; ++i) {
      const bool bad = rng.Chance(static_cast<double>(bad_left) / (30 - i));
      if (bad) --bad_left;
      shown += rng.Chance(bad ? 0.8 : 0.1) ? 1 : 0;
    }
    accepted += shown <= 2 ? 1 : 0;
  }
  EXPECT_NEAR(*OddsAccept({8, 2}, lot, 0.3), static_cast<double>(accepted) / kTurns, 0.01);
}

TEST(Acceptance, TheSmallestPlanKeepsBothRisksAndNoSmallerOneDoes) {
  const PlanWish wish{0.05, 0.05, 0.40, 0.10};
  for (const Lot& lot : {Lot{20, 1.0, 1.0}, Lot{40, 0.9, 0.95}, Lot{{}, 1.0, 1.0}}) {
    const auto plan = SmallestPlan(lot, wish);
    ASSERT_TRUE(plan) << plan.error().message;
    const auto keeps = [&](const SamplingPlan& p) {
      return *OddsAccept(p, lot, wish.good_share) >= 1.0 - wish.producer_risk &&
             *OddsAccept(p, lot, wish.bad_share) <= wish.consumer_risk;
    };
    EXPECT_TRUE(keeps(*plan));
    for (int n = 1; n < plan->sample; ++n) {
      for (int c = 0; c <= n; ++c) EXPECT_FALSE(keeps({n, c})) << n << " " << c;
    }
  }
  const auto curve = OperatingCharacteristic({8, 1}, {20, 1.0, 1.0}, 21);
  for (std::size_t i = 1; i < curve->size(); ++i) {
    EXPECT_LE((*curve)[i].odds_accept, (*curve)[i - 1].odds_accept + 1e-12);
  }
  EXPECT_NEAR(curve->front().odds_accept, 1.0, 1e-12);
  EXPECT_NEAR(curve->back().odds_accept, 0.0, 1e-12);
}

TEST(Acceptance, WhatCannotBeAPlanIsRefused) {
  EXPECT_FALSE(OddsAccept({0, 0}, {}, 0.1));
  EXPECT_FALSE(OddsAccept({5, 6}, {}, 0.1));
  EXPECT_FALSE(OddsAccept({30, 1}, {20, 1.0, 1.0}, 0.1));
  EXPECT_FALSE(OddsAccept({5, 1}, {20, 0.4, 0.5}, 0.1));
  EXPECT_FALSE(OddsAccept({5, 1}, {}, 1.2));
  EXPECT_FALSE(SmallestPlan({5, 0.6, 0.6}, {0.02, 0.05, 0.25, 0.05}));
  EXPECT_FALSE(SmallestPlan({}, {0.3, 0.05, 0.2, 0.05}));
}

report::Face Face() {
  report::Face face;
  face.marbling_pct = Measured::Of(7.0, 6.0, 9.0, "%", "photo");
  face.grade_odds["us"] = {
      "choice", {{"prime", 0.2}, {"choice", 0.65}, {"select", 0.1}, {"standard", 0.05}}, "photo"};
  face.marbling_degree = {"", {}, "no eye was found"};
  return face;
}

TEST(Claims, OddsAreSummedAtAndAboveTheClaimedStep) {
  EXPECT_NEAR(*OddsOfClaim(Face(), *ClaimFromText("us>=choice"))->met, 0.85, 1e-12);
  EXPECT_NEAR(*OddsOfClaim(Face(), *ClaimFromText("us>=prime"))->met, 0.20, 1e-12);
  const auto unknown = OddsOfClaim(Face(), *ClaimFromText("marbling_degree>=modest"));
  EXPECT_FALSE(unknown->met);
  EXPECT_EQ(unknown->because, "no eye was found");
}

TEST(Claims, MeasuredNumbersGoThroughTheirInterval) {
  const auto odds = [](const char* claim) {
    return *OddsOfClaim(Face(), *ClaimFromText(claim))->met;
  };
  EXPECT_NEAR(odds("marbling_pct>=7"), 0.5, 1e-12);
  EXPECT_NEAR(odds("marbling_pct>=6"), 0.95, 1e-9);
  EXPECT_NEAR(odds("marbling_pct>=9"), 0.05, 1e-9);
  EXPECT_FALSE(OddsOfClaim(Face(), *ClaimFromText("imf_pct>=3"))->met);
  for (const char* bad : {"us", "us>=good", "colour>=3", "marbling_pct>=x", "marbling_pct>=-1"}) {
    EXPECT_FALSE(ClaimFromText(bad)) << bad;
  }
}

TEST(SupplierRecord, MarksDeliveriesOutsideTheirLimitsAndLongRuns) {
  std::vector<RecordPoint> points;
  for (const double v : {90.0, 92.0, 91.0, 93.0, 90.0, 92.0, 91.0, 92.0, 60.0, 91.0}) {
    points.push_back({"d", v});
  }
  const auto record = ControlChart(points);
  ASSERT_TRUE(record);
  // Moving ranges 2 1 2 3 2 1 1 32 31: mean 75/9.
  EXPECT_NEAR(record->centre, 88.2, 1e-9);
  EXPECT_NEAR(record->upper - record->centre, 2.66 * 75.0 / 9.0, 1e-9);
  EXPECT_TRUE(record->points[8].outside);
  EXPECT_FALSE(record->points[7].outside);
  EXPECT_TRUE(record->points[7].run);
  points.resize(7);
  EXPECT_FALSE(ControlChart(points));
}

}  // namespace
}  // namespace ribwright::costing
