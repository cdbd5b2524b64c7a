// SPDX-License-Identifier: Apache-2.0
// Piece: one tracked piece of beef, from subprimal to portion or trim, as the ledger knows it now.
//
// Everything here is derived from events (event.h) and can be derived again. A piece has a number
// (PieceId, never used twice) and a code, which is what labels carry and people type
// (piece_code.h). `mass` is the last one known: `stated` by a document, `weighed` by the house, or
// `divided` (an output of a cut). Money is what the piece cost so far; a cut shares its inputs'
// cost over the outputs by mass, to the smallest unit, and losses carry none. Times are UTC. Ages
// count from `received` (of the oldest piece it came from) and, when aged, from `ageing_since`.
#pragma once

#include <chrono>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

#include "units/mass.h"
#include "units/money.h"
#include "units/utc_time.h"

namespace ribwright::ledger {

struct PieceId {
  std::int64_t value = 0;  // 1, 2, 3, …; 0 is none
  friend auto operator<=>(PieceId, PieceId) = default;
};

enum class PieceState {
  kInStock,
  kAgeing,     // in stock, in the ageing room
  kCutUp,      // became other pieces
  kCooked,     // cooked, not yet served
  kServed,     // gone
  kSold,       // gone
  kDiscarded,  // gone
  kMissing,    // a count did not find it; a move, a weighing or a count brings it back
  kVoided,     // the event that made it was voided: it never was
};
// "in_stock", "ageing", "cut_up", "cooked", "served", "sold", "discarded", "missing", "voided".
std::string_view StateText(PieceState state);
std::optional<PieceState> StateFromText(std::string_view text);
// In stock or ageing: what stock and counts look at.
bool IsStock(PieceState state);
// Can still be weighed, cut, served: in stock, ageing, cooked or missing.
bool IsThere(PieceState state);

enum class MassBasis { kStated, kWeighed, kDivided };
std::string_view BasisText(MassBasis basis);  // "stated", "weighed", "divided"
std::optional<MassBasis> BasisFromText(std::string_view text);

struct Piece {
  PieceId id;
  std::string code;
  std::string cut;  // what it is: "rib, bone in", "strip steak", "trim"
  PieceState state = PieceState::kInStock;
  units::Mass mass;
  MassBasis basis = MassBasis::kStated;
  units::UtcTime mass_at;   // when that mass was true
  std::string location;     // empty: not known
  units::UtcTime moved_at;  // since when it is there
  std::optional<units::Money> cost;
  std::string supplier;
  std::string lot;
  std::optional<units::Day> slaughtered;
  units::UtcTime received;
  units::UtcTime made;                         // received, or cut from another piece
  std::optional<units::UtcTime> ageing_since;  // while ageing
  std::chrono::milliseconds aged{0};           // in stays in the ageing room that are over
  units::UtcTime changed;                      // when the last event happened
  std::int64_t version = 0;                    // how many events changed it
  std::int64_t made_by = 0;                    // number of the event that made it
  std::string note;                            // that event's note
  friend bool operator==(const Piece&, const Piece&) = default;
};

}  // namespace ribwright::ledger
