// SPDX-License-Identifier: Apache-2.0
// Receiving, sales, menu claims, the house's own yields.
#include <fmt/format.h>
#include <gtest/gtest.h>

#include <cmath>

#include "costing/house_yield.h"
#include "costing/receiving.h"
#include "costing/sales.h"
#include "math/rng.h"

namespace ribwright::costing {
namespace {

using units::Mass;

units::Day Day(const char* text) { return *units::DayFromText(text); }

ReceivedBox Box() {
  ReceivedBox box;
  box.name = "box 1";
  box.invoiced = Mass::FromKilograms(20);
  box.weighed = Mass::FromKilograms(19.99);
  box.tolerance = Mass::FromGrams(20);
  box.price_per_kg = 24.0;
  box.core_c = 2.0;
  box.purge = Mass::FromGrams(100);
  box.lot = "L1";
  box.establishment = "EX 12";
  box.slaughtered = Day("2026-11-01");
  box.packed = Day("2026-11-04");
  box.use_by = Day("2026-12-20");
  return box;
}

ReceivingRules Rules() {
  ReceivingRules rules;
  rules.today = Day("2026-11-20");
  rules.core_limit_c = 7.0;
  rules.limit_source = "as the house entered";
  return rules;
}

TEST(Receiving, ASoundBoxIsAcceptedWithoutCredit) {
  const auto d = JudgeDelivery({Box()}, Rules());
  ASSERT_TRUE(d) << d.error().message;
  EXPECT_EQ(d->verdict, Verdict::kAccept);
  EXPECT_EQ(d->credit.minor, 0);
  EXPECT_TRUE(d->boxes[0].not_checked.empty());
}

TEST(Receiving, ShortWeightBeyondTheScaleIsClaimedToTheCent) {
  ReceivedBox box = Box();
  box.weighed = Mass::FromKilograms(19.667);
  const auto d = JudgeDelivery({box, Box()}, Rules());
  EXPECT_EQ(d->verdict, Verdict::kAcceptWithClaim);
  EXPECT_EQ(d->credit.minor, 799);  // 0.333 kg x 24.00 = 7.992
  EXPECT_EQ(d->boxes[1].credit.minor, 0);
}

TEST(Receiving, WarmOrPastItsDayIsRefusedAndCreditedWhole) {
  ReceivedBox warm = Box();
  warm.core_c = 7.1;
  ReceivedBox old = Box();
  old.use_by = Day("2026-11-19");
  for (const ReceivedBox& box : {warm, old}) {
    const auto d = JudgeDelivery({box}, Rules());
    EXPECT_EQ(d->verdict, Verdict::kRefuse);
    EXPECT_EQ(d->credit.minor, 48000);
  }
  warm.core_c = 7.0;
  EXPECT_EQ(JudgeDelivery({warm}, Rules())->verdict, Verdict::kAccept);
}

TEST(Receiving, PapersPurgeAndLeaksMakeClaims) {
  ReceivedBox box = Box();
  box.lot.clear();
  box.establishment.clear();
  box.bag_leaks = true;
  box.purge = Mass::FromGrams(900);
  box.packed = Day("2026-10-01");
  const auto d = JudgeDelivery({box}, Rules());
  EXPECT_EQ(d->verdict, Verdict::kAcceptWithClaim);
  EXPECT_EQ(d->boxes[0].reasons.size(), 5u);
  EXPECT_EQ(d->credit.minor, 1200);  // 0.5 kg of purge over the 2 % allowed
}

TEST(Receiving, WhatWasNotCheckedIsSaid) {
  ReceivedBox box = Box();
  box.core_c.reset();
  box.purge.reset();
  box.use_by.reset();
  EXPECT_EQ(JudgeDelivery({box}, Rules())->boxes[0].not_checked.size(), 3u);
  ReceivingRules rules = Rules();
  rules.core_limit_c.reset();
  EXPECT_EQ(JudgeDelivery({Box()}, rules)->boxes[0].not_checked.size(), 1u);
  box.invoiced = Mass();
  EXPECT_FALSE(JudgeDelivery({box}, Rules()));
}

TEST(Sales, AreReadByMappingAndBadLinesNamed) {
  SalesMapping mapping;
  mapping.columns = {
      {"day", "Date"}, {"dish", "Item"}, {"sold", "Qty"}, {"comped", "Comp"}, {"covers", "Guests"}};
  const auto book = ReadSales(
      "Date,Item,Qty,Comp,Guests\n2026-11-02,rib steak,12,1,80\n2026-11-03,rib steak,9,,60\n"
      "2026-11-09,rib steak,15,0,90\n2026-11-09,soup,40,0,90\nyesterday,rib steak,1,,1\n"
      "2026-11-10,,3,,10\n2026-11-10,rib steak,-3,,10\n",
      "till.csv", mapping);
  ASSERT_TRUE(book) << book.error().message;
  EXPECT_EQ(book->sales.size(), 4u);
  ASSERT_EQ(book->bad.size(), 3u);
  EXPECT_EQ(book->bad[0].line, 6u);
  const auto history = HistoryOf(book->sales, "rib steak");
  ASSERT_EQ(history.size(), 2u);
  EXPECT_DOUBLE_EQ(history[0].portions, 22.0);  // comped portions were demand too
  EXPECT_DOUBLE_EQ(history[0].covers, 140.0);
  EXPECT_DOUBLE_EQ(history[1].covers, 90.0);  // once a day, not once a line
  mapping.columns["colour"] = "Comp";
  EXPECT_FALSE(ReadSales("Date,Item,Qty,Comp,Guests\n", "t", mapping));
}

TEST(MenuClaims, AreBackedByEveryLotOrNotAtAll) {
  const std::vector<LotPaper> papers = {{"L1", "feed", "Grain-fed", "certificate 4"},
                                        {"L2", "feed", "grain fed", "certificate 9"},
                                        {"L1", "days", "31", "room log"},
                                        {"L2", "days", "27", "room log"},
                                        {"L1", "breed", "Angus", ""}};
  const auto backing = BackMenuClaims({{"feed", "grain fed"}, {"days", "28"}, {"breed", "angus"}},
                                      {"L1", "L2"}, papers);
  EXPECT_TRUE(backing[0].backed) << backing[0].because;
  EXPECT_FALSE(backing[1].backed);
  EXPECT_NE(backing[1].because.find("lot L2: no document"), std::string::npos);
  EXPECT_FALSE(backing[2].backed) << "a paper without a document backs nothing";
  EXPECT_FALSE(BackMenuClaims({{"feed", "grain fed"}}, {}, papers)[0].backed);
}

TEST(HouseYield, WithoutTestsThePublishedSpreadStands) {
  const Spread published{0.17, 0.11, 0.26, Origin::kPublished, "table", "s"};
  const auto next = NextPiece(published, {}, "A");
  ASSERT_TRUE(next);
  EXPECT_EQ(next->mid, 0.17);
  EXPECT_EQ(next->origin, Origin::kPublished);
}

TEST(HouseYield, ManyTestsOverrideThePublishedMiddleAndOtherSuppliersCountLess) {
  const Spread published{0.17, 0.11, 0.26, Origin::kPublished, "table", ""};
  std::vector<ShareTest> tests(40, {"A", 0.25});
  const auto own = NextPiece(published, tests, "A");
  const auto other = NextPiece(published, tests, "B");
  ASSERT_TRUE(own) << own.error().message;
  EXPECT_NEAR(own->mid, 0.25, 0.005);
  EXPECT_GT(other->mid, 0.20);
  EXPECT_LT(other->mid, own->mid);
  EXPECT_GT(other->high - other->low, own->high - own->low);
  EXPECT_EQ(own->origin, Origin::kOwn);
  tests[0].share = 1.0;
  EXPECT_FALSE(NextPiece(published, tests, "A"));
}

TEST(HouseYield, IntervalsOfTheNextPieceHoldNineInTenOnSimulatedHouses) {
  const Spread published{0.17, 0.11, 0.26, Origin::kPublished, "table", ""};
  const auto logit = [](double s) { return std::log(s / (1.0 - s)); };
  const auto share = [](double z) { return 1.0 / (1.0 + std::exp(-z)); };
  math::Rng rng(21);
  const double width = (logit(0.26) - logit(0.11)) / 3.2897;
  const double between = std::sqrt(width * width - 0.04);
  int held = 0;
  constexpr int kHouses = 3000;
  for (int house = 0; house < kHouses; ++house) {
    const double mean = logit(0.17) + between * rng.Normal();
    double suppliers[3];
    for (double& s : suppliers) s = mean + 0.10 * rng.Normal();
    std::vector<ShareTest> tests;
    const int count = static_cast<int>(rng.Below(13));
    for (int i = 0; i < count; ++i) {
      const auto who = rng.Below(3);
      tests.push_back({fmt::format("S{}", who), share(suppliers[who] + 0.2 * rng.Normal())});
    }
    const auto next = NextPiece(published, tests, "S0");
    ASSERT_TRUE(next);
    const double truth = share(suppliers[0] + 0.2 * rng.Normal());
    held += truth >= next->low && truth <= next->high ? 1 : 0;
  }
  const double coverage = static_cast<double>(held) / kHouses;
  EXPECT_GT(coverage, 0.87);
  EXPECT_LT(coverage, 0.94);
}

}  // namespace
}  // namespace ribwright::costing
