// SPDX-License-Identifier: Apache-2.0
// Lethality, bath times, guidance, doneness.
#include <gtest/gtest.h>

#include <cmath>
#include <string>
#include <vector>

#include "base/golden.h"
#include "cooking/bath_time.h"
#include "cooking/doneness.h"
#include "cooking/guidance.h"
#include "cooking/lethality.h"

namespace ribwright::cooking {
namespace {

std::vector<GoldenRow> Rows(const std::string& file, const std::vector<GoldenInput>& inputs,
                            CellKind expected = CellKind::kNumber) {
  const auto rows =
      ReadGolden(std::string(RIBWRIGHT_SOURCE_DIR) + "/tests/golden/" + file, inputs, expected);
  if (!rows) {
    ADD_FAILURE() << rows.error().message << " " << rows.error().where;
    return {};
  }
  return *rows;
}

TEST(Lethality, TheTableIsThePublishedOneAndAdviceNeverShorter) {
  for (const auto& row : Rows("cooking_hold_time.csv", {{"fahrenheit"}, {"logs"}})) {
    const LogLine line = row.Number("logs") < 7.0 ? LogLine::kSixAndHalf : LogLine::kSeven;
    const double f = row.Number("fahrenheit");
    bool found = false;
    for (const HoldRow& r : HoldTable(line)) {
      if (r.fahrenheit != f) {
        if (f > 158.0) found = true;
        continue;
      }
      found = true;
      EXPECT_TRUE(row.Near(r.seconds)) << row.id;
      for (const double t : {r.printed_c, (f - 32.0) / 1.8}) {
        const auto hold = HoldSeconds(t, line);
        if (f == 130.0 && t < kTableStartC) continue;
        ASSERT_TRUE(hold) << row.id;
        EXPECT_GE(*hold, row.ExpectedNumber() - 1e-9) << row.id << " at " << t;
        EXPECT_LE(*hold, row.ExpectedNumber() * 1.13 + 1e-9) << row.id << " at " << t;
      }
    }
    EXPECT_TRUE(found) << row.id;
  }
  EXPECT_FALSE(HoldSeconds(54.39));
  EXPECT_FALSE(HoldSeconds(std::nan("")));
  EXPECT_EQ(HoldSeconds(70.0), 0.0);
  EXPECT_EQ(HoldSeconds(69.9), 14.0);
}

TEST(Lethality, AdviceFallsSteadilyAndLiesAboveTheSmoothCurveOfItsNeighbours) {
  double last = 1e9;
  for (double t = kTableStartC; t < kInstantC; t += 0.01) {
    const double hold = *HoldSeconds(t);
    EXPECT_LE(hold, last + 1e-9) << t;
    last = hold;
  }
  // Without any one row the chord of its neighbours is no shorter than the row, to rounding of the
  // print: recalled rows cannot have shortened the advice.
  const auto rows = HoldTable(LogLine::kSixAndHalf);
  for (std::size_t i = 1; i + 2 < rows.size(); ++i) {
    const double chord = 0.5 * (rows[i - 1].seconds + rows[i + 1].seconds);
    EXPECT_GE(chord * 1.03, rows[i].seconds) << rows[i].fahrenheit;
  }
}

TEST(Lethality, TheLogLinearLineMissesTheTableByUnderFivePerCent) {
  const LogLinear fit = FitTable();
  EXPECT_LE(fit.rms_relative, 0.05);
  EXPECT_NEAR(fit.z_k, 5.56, 0.05);
  EXPECT_NEAR(fit.d60_min, 1.77, 0.03);
}

TEST(Lethality, CreditOfASteadyHoldIsItsShareOfTheTable) {
  const std::vector<TimedTemperature> steady{{0, 60.0}, {360, 60.0}};
  EXPECT_NEAR(LogCredit(steady), 0.5, 1e-9);
  const std::vector<TimedTemperature> rising{{0, 50.0}, {600, 62.0}, {900, 62.0}};
  // Between what the last five minutes alone give and what the mean of the ramp could add.
  const double held = 300.0 / *HoldSeconds(62.0);
  EXPECT_GT(LogCredit(rising), held);
  EXPECT_LT(LogCredit(rising), held + 200.0 / *HoldSeconds(62.0));
  const std::vector<TimedTemperature> cold{{0, 54.0}, {36000, 54.3}};
  EXPECT_EQ(LogCredit(cold), 0.0);
  const std::vector<TimedTemperature> hot{{0, 20.0}, {60, 70.0}};
  EXPECT_GE(LogCredit(hot), 1.0);
  EXPECT_NEAR(KillLogs(steady, 2.0, 5.0), 3.0, 1e-9);
  EXPECT_NEAR(KillSeconds(65.0, 6.0, 2.0, 5.0), 72.0, 1e-9);
}

TEST(BathTime, ReproducesTheRowsOfThePublishedTable) {
  double squares = 0.0;
  int count = 0;
  for (const auto& row :
       Rows("cooking_bath_time.csv", {{"thickness_mm"}, {"bath_c"}, {"start_c"}})) {
    const auto seconds =
        BathSeconds(row.Number("thickness_mm"), row.Number("bath_c"), row.Number("start_c"));
    ASSERT_TRUE(seconds) << row.id;
    const double minutes = *seconds / 60.0;
    EXPECT_TRUE(row.Near(minutes)) << row.id << " " << minutes;
    const double relative = minutes / row.ExpectedNumber() - 1.0;
    EXPECT_GE(relative, -0.12) << row.id << ": shorter than the table";
    squares += relative * relative;
    ++count;
  }
  EXPECT_LE(std::sqrt(squares / count), 0.07);
  EXPECT_FALSE(BathSeconds(80, 60));
  EXPECT_FALSE(BathSeconds(25, 50));
  EXPECT_FALSE(BathSeconds(25, 60, -18));
}

TEST(Doneness, WordsAreThoseOfTheScales) {
  for (const auto& row :
       Rows("cooking_doneness.csv", {{"core_c"}, {"scale", CellKind::kText}}, CellKind::kText)) {
    EXPECT_EQ(DonenessWord(Scale::kMeatScience, row.Number("core_c")), row.expected) << row.id;
  }
  EXPECT_EQ(DonenessWord(Scale::kMeatScience, 54.0), "under very rare");
  EXPECT_EQ(DonenessWord(Scale::kTrade, 55.0), "medium rare");
  EXPECT_EQ(DonenessWord(Scale::kTrade, 53.0), "between rare and medium rare");
  EXPECT_EQ(DonenessWord(Scale::kTrade, 90.0), "well done");
  const auto house = HouseDefaults();
  EXPECT_EQ(*HouseTarget(house, "medium"), 61.5);
  EXPECT_FALSE(HouseTarget(house, "crisp"));
  EXPECT_EQ(HouseWordFor(house, 56.0), "medium rare");
  EXPECT_EQ(HouseWordFor(house, 58.5), "");
}

bool Has(const std::vector<Caution>& cautions, const std::string& id) {
  for (const auto& c : cautions) {
    if (c.id == id) return true;
  }
  return false;
}

TEST(Guidance, CasesDiffer) {
  const std::vector<TimedTemperature> rare{{0, 5}, {600, 52}, {900, 54}};
  const std::vector<TimedTemperature> done{{0, 5}, {600, 68.0}, {620, 68.5}};
  Serving s;
  s.face_a_peak_c = s.face_b_peak_c = 100.0;
  s.core_peak_c = 54.0;
  const auto intact = Advise(s, rare);
  ASSERT_TRUE(intact);
  EXPECT_TRUE(Has(*intact, "undercooked_inside"));
  EXPECT_FALSE(Has(*intact, "faces_not_seared"));
  EXPECT_TRUE(Has(*intact, "local_code"));
  s.face_b_peak_c = 50.0;
  EXPECT_TRUE(Has(*Advise(s, rare), "faces_not_seared"));
  s.susceptible_guests = true;
  EXPECT_EQ(Advise(s, rare).error().code, Code::kCookUnsafe);
  EXPECT_TRUE(Advise(s, done));
  s.susceptible_guests = false;
  s.meat = MeatCase::kNotIntact;
  EXPECT_TRUE(Has(*Advise(s, rare), "not_intact_undercooked"));
  EXPECT_TRUE(Has(*Advise(s, rare), "advisory"));
  EXPECT_TRUE(Has(*Advise(s, done), "not_intact"));
  s.meat = MeatCase::kGround;
  EXPECT_EQ(Advise(s, rare).error().code, Code::kCookUnsafe);
  EXPECT_TRUE(Advise(s, done));
  s.meat = MeatCase::kIntact;
  s.bagged = true;
  s.bath_c = 54.0;
  EXPECT_TRUE(Has(*Advise(s, rare), "reduced_oxygen"));
  EXPECT_TRUE(Has(*Advise(s, rare), "bath_below_table"));
  EXPECT_EQ(*MeatCaseFromText("unknown"), MeatCase::kNotIntact);
  EXPECT_FALSE(MeatCaseFromText("veal"));
  EXPECT_FALSE(RawServiceCautions().empty());
}

TEST(Guidance, LinesNeedTheirTimeWithoutABreak) {
  const std::vector<TimedTemperature> broken{
      {0, 63.5}, {120, 63.5}, {130, 62.0}, {140, 63.5}, {300, 63.5}};
  EXPECT_EQ(LineMet(broken), nullptr);
  const std::vector<TimedTemperature> whole{{0, 63.5}, {120, 63.5}, {181, 63.2}};
  ASSERT_NE(LineMet(whole), nullptr);
  EXPECT_EQ(LineMet(whole)->t_c, 63.0);
}

TEST(Guidance, CoolingAndHoldingLogs) {
  const std::vector<TimedTemperature> good{{0, 60}, {600, 56}, {6000, 20.5}, {18000, 4.8}};
  EXPECT_TRUE(CoolingFaults(good).empty());
  const std::vector<TimedTemperature> slow{{0, 60}, {600, 56}, {9000, 20.5}, {30000, 4.8}};
  EXPECT_EQ(CoolingFaults(slow).size(), 2U);
  EXPECT_EQ(CoolingFaults({}).size(), 1U);
  EXPECT_EQ(HoldingFaults(good, true).size(), 3U);
  EXPECT_EQ(HoldingFaults(good, false).size(), 3U);
}

}  // namespace
}  // namespace ribwright::cooking
