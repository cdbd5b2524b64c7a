// SPDX-License-Identifier: Apache-2.0
// The life of pieces through the ports.
#include <gtest/gtest.h>

#include "store/check.h"
#include "store/test_house.h"

namespace ribwright::store {
namespace {

using ledger::Cut;
using ledger::LossKind;
using ledger::NewPiece;
using ledger::PieceState;
using units::Mass;

Cut CutOf(const ledger::Piece& piece, std::vector<double> steaks, double kerf) {
  Cut cut;
  cut.pieces = {piece.id};
  for (const double grams : steaks) cut.outputs.push_back({{}, "", "rib steak", G(grams), ""});
  if (kerf > 0) cut.losses = {{LossKind::kKerf, G(kerf)}};
  return cut;
}

void ExpectSound(House& house) {
  const auto checked = CheckFile(house.database());
  ASSERT_TRUE(checked) << checked.error().message;
  for (const Error& fault : checked->faults) ADD_FAILURE() << fault.message << " " << fault.where;
}

TEST(Ledger, FollowsAPieceFromDeliveryToPlate) {
  House house;
  const auto rib = house.Receive("rib, bone in", 8200, 19'000);
  EXPECT_EQ(rib.state, PieceState::kInStock);
  EXPECT_FALSE(rib.code.empty());
  house.Do(ledger::Weighed{rib.id, G(8230), {}});  // above the invoice: allowed
  house.Do(ledger::Aged{rib.id, true, "ageing room"});
  EXPECT_EQ(house.Now(rib.id).state, PieceState::kAgeing);
  house.Pass(std::chrono::hours(24 * 40));
  house.Do(ledger::Weighed{rib.id, G(6900), {}});
  house.Do(ledger::Aged{rib.id, false, "cold room"});
  EXPECT_EQ(std::chrono::duration_cast<std::chrono::hours>(house.Now(rib.id).aged).count(), 960);
  const auto receipt = house.Write(CutOf(rib, {900, 1000, 1000, 1000, 1000, 1900}, 100));
  ASSERT_TRUE(receipt) << Refusal(receipt);
  EXPECT_EQ(receipt->pieces.size(), 7U);
  EXPECT_EQ(house.Now(rib.id).state, PieceState::kCutUp);
  std::int64_t cents = 0;
  for (std::size_t i = 0; i < 6; ++i) cents += receipt->pieces[i].cost->minor;
  EXPECT_EQ(cents, 19'000);
  const auto steak = receipt->pieces[0];
  EXPECT_EQ(steak.location, "cold room");
  EXPECT_EQ(steak.supplier, "North Pasture");
  EXPECT_EQ(steak.received, rib.received);
  house.Do(ledger::Cooked{steak.id, G(720), "pink"});
  house.Do(ledger::Served{steak.id, std::nullopt, "table 4"});
  EXPECT_EQ(house.Now(steak.id).state, PieceState::kServed);

  const auto page = house.reader().Page(steak.id);
  ASSERT_TRUE(page);
  EXPECT_EQ(page->events.size(), 3U);
  ASSERT_EQ(page->made_from.size(), 1U);
  EXPECT_EQ(page->made_from[0].id, rib.id);
  const auto trace = house.reader().TraceOf(steak.id);
  ASSERT_TRUE(trace) << Refusal(trace);
  ASSERT_EQ(trace->up.size(), 1U);
  EXPECT_EQ(trace->up[0].piece.id, rib.id);
  EXPECT_EQ(trace->up[0].steps, 1);
  EXPECT_EQ(trace->siblings.size(), 5U);
  EXPECT_EQ(trace->lineage.size(), 6U);
  ExpectSound(house);
}

TEST(Ledger, RefusesACutThatDoesNotWeighWhatWentIn) {
  House house;
  const auto rib = house.Receive("rib", 5000);
  const auto refused = house.Write(CutOf(rib, {2000, 2000}, 50));
  EXPECT_EQ(refused.error().code, Code::kMassNotConserved);
  EXPECT_NE(refused.error().message.find("950 g are missing"), std::string::npos)
      << refused.error().message;
  EXPECT_EQ(house.Now(rib.id).state, PieceState::kInStock);
  EXPECT_EQ(house.reader().Pieces({})->size(), 1U);
}

TEST(Ledger, RefusesTheSecondOfTwoPhonesThatCutOnePiece) {
  House house;
  const auto rib = house.Receive("rib", 5000);
  ASSERT_TRUE(house.Write(CutOf(rib, {2500, 2450}, 50)));
  const auto second = house.Write(CutOf(rib, {3000, 1950}, 50));
  ASSERT_FALSE(second);
  EXPECT_EQ(second.error().code, Code::kPieceGone);
  EXPECT_NE(second.error().message.find("was cut up at"), std::string::npos);
  EXPECT_NE(second.error().where.find("event 2"), std::string::npos) << second.error().where;
  ExpectSound(house);
}

TEST(Ledger, AnswersARepeatedKeyWithWhatWasWritten) {
  House house;
  const auto rib = house.Receive("rib", 5000);
  const auto draft = house.DraftOf(CutOf(rib, {2500, 2450}, 50), "phone-1");
  const auto first = house.writer().Append(draft);
  ASSERT_TRUE(first) << Refusal(first);
  auto again = draft;
  again.happened = again.happened + std::chrono::minutes(1);
  const auto second = house.writer().Append(again);
  ASSERT_TRUE(second) << Refusal(second);
  EXPECT_TRUE(second->repeated);
  EXPECT_EQ(second->event.number, first->event.number);
  EXPECT_EQ(second->pieces.size(), 3U);
  auto other = house.DraftOf(ledger::Weighed{rib.id, G(1), {}}, "phone-1");
  EXPECT_EQ(house.writer().Append(other).error().code, Code::kKeyReused);
  auto changed = draft;
  std::get<Cut>(changed.payload).outputs[0].mass = G(2499);
  EXPECT_EQ(house.writer().Append(changed).error().code, Code::kKeyReused);
}

TEST(Ledger, RefusesTimesThatCannotBe) {
  House house;
  const auto rib = house.Receive("rib", 5000);
  auto draft = house.DraftOf(ledger::Weighed{rib.id, G(4990), {}});
  draft.happened = house.now() + std::chrono::minutes(6);
  const auto future = house.writer().Append(draft);
  EXPECT_EQ(future.error().code, Code::kClockSkew);
  EXPECT_FALSE(future.error().mend.empty());
  draft.happened = house.now() - std::chrono::hours(1);  // before it was received
  EXPECT_EQ(house.writer().Append(draft).error().code, Code::kClockSkew);
  house.Pass(-std::chrono::hours(1));  // the ledger's own clock goes back
  draft.happened = house.now();
  EXPECT_EQ(house.writer().Append(draft).error().code, Code::kClockSkew);
}

TEST(Ledger, KeepsTheNewerWeightWhenAnOlderOneArrivesLate) {
  House house;
  const auto rib = house.Receive("rib", 5000);
  auto late = house.DraftOf(ledger::Weighed{rib.id, G(4950), {}});
  house.Pass(std::chrono::hours(10));
  house.Do(ledger::Weighed{rib.id, G(4900), {}});
  ASSERT_TRUE(house.writer().Append(late));
  EXPECT_EQ(house.Now(rib.id).mass, G(4900));
  ExpectSound(house);
}

TEST(Ledger, RefusesBeefThatGainsMass) {
  House house;
  const auto rib = house.Receive("rib", 5000);
  house.Do(ledger::Weighed{rib.id, G(4900), {}});
  const auto refused = house.Write(ledger::Weighed{rib.id, G(5100), {}});
  EXPECT_EQ(refused.error().code, Code::kMassGrew);
  EXPECT_NE(refused.error().message.find("200 g more"), std::string::npos);
  house.Do(ledger::Weighed{rib.id, G(4905), {}});  // within the scale's tolerance
}

TEST(Ledger, SharesMassAndMoneyWhenAPartIsServed) {
  House house;
  const auto loin = house.Receive("strip loin", 4000, 8001);
  house.Do(ledger::Served{loin.id, G(1000), "party"});
  auto now = house.Now(loin.id);
  EXPECT_EQ(now.state, PieceState::kInStock);
  EXPECT_EQ(now.mass, G(3000));
  EXPECT_EQ(now.cost->minor, 6001);
  EXPECT_EQ(house.Write(ledger::Sold{loin.id, G(3500), Eur(100), ""}).error().code,
            Code::kMassNotConserved);
  house.Do(ledger::Sold{loin.id, G(3000), Eur(9000), "neighbour"});
  EXPECT_EQ(house.Now(loin.id).state, PieceState::kSold);
  EXPECT_EQ(house.Write(ledger::Moved{loin.id, "x"}).error().code, Code::kPieceGone);
  ExpectSound(house);
}

TEST(Ledger, TrimsAPieceThatGoesOn) {
  House house;
  const auto rib = house.Receive("rib", 5000, 10'000);
  house.Do(ledger::Aged{rib.id, true, ""});
  ledger::Trimmed trimmed;
  trimmed.piece = rib.id;
  trimmed.mass = G(4000);
  trimmed.outputs = {{{}, "FAT-1", "fat", G(600), "freezer"}};
  trimmed.losses = {{LossKind::kTrim, G(400)}};
  house.Do(trimmed);
  EXPECT_EQ(house.Now(rib.id).mass, G(4000));
  EXPECT_EQ(house.Now(rib.id).state, PieceState::kAgeing);
  EXPECT_EQ(house.Now(rib.id).cost->minor, 8696);  // 10000 * 4000 / 4600, remainder to it
  const auto fat = house.reader().FindCode("fat-1");
  ASSERT_TRUE(fat);
  EXPECT_EQ(fat->cost->minor, 1304);
  EXPECT_EQ(house.reader().FindCode("nothing").error().code, Code::kPieceUnknown);
  trimmed.outputs[0].code = "FAT-1";
  trimmed.mass = G(3000);
  EXPECT_EQ(house.Write(trimmed).error().code, Code::kPieceCodeTaken);
  ExpectSound(house);
}

TEST(Ledger, JoinsTrimOfSeveralPieces) {
  House house;
  const auto a = house.Receive("trim", 1000, 500);
  const auto b = house.Receive("trim", 2000, 900);
  Cut grind;
  grind.pieces = {a.id, b.id};
  grind.outputs = {{{}, "", "grind", G(2990), "cold room"}};
  grind.losses = {{LossKind::kUnsaid, G(10)}};
  const auto receipt = house.Write(grind);
  ASSERT_TRUE(receipt) << Refusal(receipt);
  EXPECT_EQ(receipt->pieces[0].cost->minor, 1400);
  EXPECT_EQ(house.reader().TraceOf(receipt->pieces[0].id)->up.size(), 2U);
  ExpectSound(house);
}

TEST(Ledger, WritesAllOrNoneWhenAsked) {
  House house;
  const auto rib = house.Receive("rib", 5000);
  std::vector<ledger::Draft> drafts = {house.DraftOf(ledger::Weighed{rib.id, G(4990), {}}),
                                       house.DraftOf(ledger::Moved{{77}, "x"})};
  const auto none = house.writer().Append(drafts, ledger::Together::kAllOrNone);
  ASSERT_EQ(none.size(), 2U);
  EXPECT_EQ(none[0].error().code, Code::kPieceUnknown);
  EXPECT_EQ(house.Now(rib.id).mass, G(5000));
  const auto each = house.writer().Append(drafts, ledger::Together::kEachAlone);
  EXPECT_TRUE(each[0]);
  EXPECT_FALSE(each[1]);
  EXPECT_EQ(house.Now(rib.id).mass, G(4990));
  ExpectSound(house);
}

TEST(Ledger, FindsWords) {
  House house;
  const auto rib = house.Receive("rib, bone in", 5000);
  auto draft = house.DraftOf(ledger::Tasted{rib.id, "nutty, a little blue cheese", 80.0});
  draft.note = "Übergabe";
  ASSERT_TRUE(house.writer().Append(draft));
  for (const char* query : {"nutt", "blue CHEESE", "ubergabe", "north past", "rib, bone", "L1"}) {
    const auto hits = house.reader().Search(query, 10);
    ASSERT_TRUE(hits) << Refusal(hits);
    ASSERT_GE(hits->size(), 1U) << query;
    EXPECT_EQ(hits->front().piece.id, rib.id);
  }
  EXPECT_EQ(house.reader().Search(rib.code, 10)->front().piece.id, rib.id);
  EXPECT_TRUE(house.reader().Search("zebra", 10)->empty());
  EXPECT_TRUE(house.reader().Search("\"", 10)->empty());
  EXPECT_TRUE(house.reader().Search("NEAR( -rib OR *", 10));
}

}  // namespace
}  // namespace ribwright::store
