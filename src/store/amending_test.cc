// SPDX-License-Identifier: Apache-2.0
#include "store/amending.h"

#include <gtest/gtest.h>

#include "store/check.h"
#include "store/test_house.h"

namespace ribwright::store {
namespace {

using ledger::Corrected;
using ledger::PieceState;
using ledger::Voided;

void ExpectSound(House& house) {
  const auto checked = CheckFile(house.database());
  ASSERT_TRUE(checked) << checked.error().message;
  for (const Error& fault : checked->faults) ADD_FAILURE() << fault.message << " " << fault.where;
}

Corrected Correct(std::int64_t target, const char* changes) {
  return {target, nullptr, changes, "typed wrongly"};
}

ledger::Cut Halve(const ledger::Piece& piece, double first, double second) {
  ledger::Cut cut;
  cut.pieces = {piece.id};
  cut.outputs = {{{}, "", "steak", G(first), ""}, {{}, "", "steak", G(second), ""}};
  return cut;
}

TEST(Amending, CorrectsAWeight) {
  House house;
  const auto rib = house.Receive("rib", 5000);     // 1
  house.Do(ledger::Weighed{rib.id, G(4590), {}});  // 2: meant 4950
  const auto receipt = house.Write(Correct(2, R"({"mass_g":4950})"));
  ASSERT_TRUE(receipt) << Refusal(receipt);
  EXPECT_EQ(house.Now(rib.id).mass, G(4950));
  const auto page = house.reader().Page(rib.id);
  ASSERT_EQ(page->events.size(), 3U);
  EXPECT_EQ(page->events[1].corrected_by, 3);
  EXPECT_EQ(std::get<ledger::Weighed>(*page->events[1].says_now).mass, G(4950));
  EXPECT_EQ(std::get<ledger::Weighed>(page->events[1].event.draft.payload).mass, G(4590));
  ExpectSound(house);
}

TEST(Amending, RefusesWhatALaterEventCannotStandWith) {
  House house;
  const auto rib = house.Receive("rib", 5000);  // 1
  house.Do(Halve(rib, 2500, 2500));             // 2
  const auto refused = house.Write(Correct(1, R"({"piece_id":1,"mass_g":6000})"));
  ASSERT_FALSE(refused);
  EXPECT_EQ(refused.error().code, Code::kMassNotConserved);
  EXPECT_NE(refused.error().where.find("event 2"), std::string::npos) << refused.error().where;
  EXPECT_EQ(house.Now(rib.id).mass, G(5000));
  ExpectSound(house);
}

TEST(Amending, CorrectsAnOutputAndTheMoneyFollows) {
  House house;
  const auto rib = house.Receive("rib", 5000, 10'000);
  const auto cut = house.Write(Halve(rib, 2500, 2500));
  ASSERT_TRUE(cut);
  const auto receipt = house.Write(Correct(2, R"({"outputs":[{"mass_g":3000},{"mass_g":1990}]})"));
  ASSERT_TRUE(receipt) << Refusal(receipt) << receipt.error().where;
  EXPECT_EQ(house.Now(cut->pieces[0].id).mass, G(3000));
  EXPECT_EQ(house.Now(cut->pieces[0].id).cost->minor, 6012);
  EXPECT_EQ(house.Now(cut->pieces[1].id).cost->minor, 3988);
  ExpectSound(house);
}

TEST(Amending, VoidsACutAndBringsItBack) {
  House house;
  const auto rib = house.Receive("rib", 5000);
  const auto cut = house.Write(Halve(rib, 2500, 2500));
  const auto steak = cut->pieces[0].id;
  ASSERT_TRUE(house.Write(Voided{2, "wrong piece"}));
  EXPECT_EQ(house.Now(rib.id).state, PieceState::kInStock);
  EXPECT_EQ(house.Now(steak).state, PieceState::kVoided);
  EXPECT_TRUE(house.reader().Page(rib.id)->made_into.empty());
  EXPECT_EQ(house.Write(ledger::Moved{steak, "x"}).error().code, Code::kPieceGone);
  EXPECT_EQ(house.Write(Voided{2, "again"}).error().code, Code::kEntryNotAmendable);
  ExpectSound(house);
  ASSERT_TRUE(house.Write(Voided{3, "it was right"}));
  EXPECT_EQ(house.Now(rib.id).state, PieceState::kCutUp);
  EXPECT_EQ(house.Now(steak).state, PieceState::kInStock);
  EXPECT_EQ(house.reader().Page(rib.id)->made_into.size(), 2U);
  ExpectSound(house);
}

TEST(Amending, KeepsWhatOthersStandOn) {
  House house;
  const auto rib = house.Receive("rib", 5000);
  const auto cut = house.Write(Halve(rib, 2500, 2500));
  house.Do(ledger::Served{cut->pieces[0].id, std::nullopt, "table 1"});
  EXPECT_FALSE(house.Write(Voided{2, "wrong"}));
  ASSERT_TRUE(house.Write(Voided{3, "not served"}));
  EXPECT_EQ(house.Now(cut->pieces[0].id).state, PieceState::kInStock);
  EXPECT_TRUE(house.Write(Voided{2, "wrong"}));
  ExpectSound(house);
}

TEST(Amending, RefusesAnotherKindOtherPiecesAndCorrectionsOfCorrections) {
  House house;
  const auto rib = house.Receive("rib", 5000);
  const auto other = house.Receive("rib", 5000);
  house.Do(ledger::Weighed{rib.id, G(4900), {}});  // 3
  Corrected wrong{3, std::make_shared<const ledger::Payload>(ledger::Moved{rib.id, "x"}), "", "r"};
  EXPECT_EQ(house.Write(wrong).error().code, Code::kEntryNotAmendable);
  EXPECT_EQ(house.Write(Correct(3, R"({"piece_id":2})")).error().code, Code::kEntryNotAmendable);
  ASSERT_TRUE(house.Write(Correct(3, R"({"mass_g":4950})")));  // 4
  EXPECT_EQ(house.Write(Correct(4, R"({"reason":"x"})")).error().code, Code::kEntryNotAmendable);
  EXPECT_EQ(house.Write(Correct(99, "{}")).error().code, Code::kEntryUnknown);
  EXPECT_EQ(house.Write(Correct(3, R"({"mass":1})")).error().code, Code::kEntryUnusable);
  ASSERT_TRUE(house.Write(Correct(3, R"({"mass_g":4960})")));  // 5: corrected again
  EXPECT_EQ(house.Now(rib.id).mass, G(4960));
  ASSERT_TRUE(house.Write(Voided{5, "the first was right"}));
  EXPECT_EQ(house.Now(rib.id).mass, G(4950));
  ExpectSound(house);
  (void)other;
}

}  // namespace
}  // namespace ribwright::store
