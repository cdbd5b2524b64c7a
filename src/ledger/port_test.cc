// SPDX-License-Identifier: Apache-2.0
#include "ledger/port.h"

#include <gtest/gtest.h>

#include "ledger/apply.h"
#include "ledger/event_json.h"
#include "ledger/photo_store.h"

namespace ribwright::ledger {
namespace {

TEST(EventKind, HasOneTextEach) {
  for (int i = 0; i <= static_cast<int>(EventKind::kCounted); ++i) {
    const auto kind = static_cast<EventKind>(i);
    EXPECT_EQ(KindFromText(KindText(kind)), kind);
  }
  EXPECT_FALSE(KindFromText("eaten"));
  EXPECT_EQ(KindOf(Payload(Counted{})), EventKind::kCounted);
  EXPECT_EQ(KindOf(Payload(Received{})), EventKind::kReceived);
  EXPECT_EQ(KindOf(Payload(Voided{})), EventKind::kVoided);
  EXPECT_EQ(KindOf(Payload(Cut{})), EventKind::kCut);
}

TEST(PieceState, HasOneTextEach) {
  for (int i = 0; i <= static_cast<int>(PieceState::kVoided); ++i) {
    const auto state = static_cast<PieceState>(i);
    EXPECT_EQ(StateFromText(StateText(state)), state);
  }
}

TEST(Event, NamesItsInputsBeforeWhatItMade) {
  Cut cut;
  cut.pieces = {{4}, {2}};
  cut.outputs = {{{9}, "A", "steak", {}, ""}, {{8}, "B", "trim", {}, ""}};
  const std::vector<PieceId> expected = {{4}, {2}, {9}, {8}};
  EXPECT_EQ(PiecesOf(Payload(cut)), expected);
}

TEST(CountedLine, ValuesWhatIsMissingAtThePiecesCost) {
  Piece piece;
  piece.mass = units::Mass::FromGrams(2000);
  piece.cost = units::Money{5000, *units::Currency::FromText("EUR")};
  const CountedLine less = CompareWithCount(piece, units::Mass::FromGrams(1900), "drying");
  EXPECT_EQ(less.variance, units::Mass::FromGrams(-100));
  EXPECT_EQ(less.money_variance->minor, -250);
  const CountedLine gone = CompareWithCount(piece, std::nullopt, "not found");
  EXPECT_EQ(gone.money_variance->minor, -5000);
  const CountedLine more = CompareWithCount(piece, units::Mass::FromGrams(5000), "mixed up");
  EXPECT_EQ(more.variance, units::Mass::FromGrams(3000));
  EXPECT_EQ(more.money_variance->minor, 0);
  piece.state = PieceState::kMissing;
  EXPECT_EQ(CompareWithCount(piece, units::Mass::FromGrams(5000), "").money_variance->minor, 5000);
  EXPECT_EQ(CompareWithCount(piece, units::Mass::FromGrams(1000), "").money_variance->minor, 2500);
  EXPECT_EQ(CompareWithCount(piece, piece.mass, "").money_variance->minor, 5000);
}

TEST(AgeBand, EndsAtItsLimits) {
  EXPECT_EQ(AgeBandOf(0), 0U);
  EXPECT_EQ(AgeBandOf(7), 0U);
  EXPECT_EQ(AgeBandOf(8), 1U);
  EXPECT_EQ(AgeBandOf(101), kAgeBandDays.size());
  EXPECT_EQ(AgeDays({0}, {86'399'999}), 0);
  EXPECT_EQ(AgeDays({0}, {86'400'000}), 1);
}

}  // namespace
}  // namespace ribwright::ledger
