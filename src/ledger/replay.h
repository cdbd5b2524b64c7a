// SPDX-License-Identifier: Apache-2.0
// Replay: pieces derived again from their events, with corrections and voidings in effect.
//
// An amendment (corrected, voided) is in effect unless a later one in effect voids it. What decides
// about an event is the last amendment in effect that speaks of it. A voided event does nothing;
// pieces that it would have made are there in state voided. A corrected one is applied as it should
// have been, at its own place in the order.
//
// Events must stand in order of number, and hold every event about the pieces of `scope`, or all
// events where scope is empty; of an event about other pieces as well (a count), only the lines of
// the scope are applied. Errors: the first rule that an event breaks, with its number in `where`.
#pragma once

#include <map>
#include <set>
#include <span>
#include <unordered_map>
#include <utility>
#include <vector>

#include "base/result.h"
#include "ledger/apply.h"
#include "ledger/event.h"

namespace ribwright::ledger {

// What amendments make of each event they speak of.
struct Standing {
  std::int64_t voided_by = 0;
  std::int64_t corrected_by = 0;
  const Payload* says_now = nullptr;  // into the events given
};
// `events` must outlive the result. Corrected events must have `instead`.
std::unordered_map<std::int64_t, Standing> StandingOf(std::span<const Event* const> amendments);

struct PieceIdHash {
  std::size_t operator()(PieceId id) const { return std::hash<std::int64_t>()(id.value); }
};
struct Replayed {
  std::unordered_map<PieceId, Piece, PieceIdHash> pieces;
  std::set<std::pair<PieceId, PieceId>> lineage;  // parent, child
};
Result<Replayed> Replay(std::span<const Event> events, const std::set<PieceId>& scope);

// The same one event at a time, for a whole ledger that does not fit in memory: the standing of
// all amendments first, then each event in order.
class Replayer {
 public:
  Replayer(std::unordered_map<std::int64_t, Standing> standing, std::set<PieceId> scope)
      : standing_(std::move(standing)), scope_(std::move(scope)) {}
  Status Take(const Event& event);
  Replayed& result() { return result_; }

 private:
  Status TakePayload(const Event& event, bool voided);
  std::unordered_map<std::int64_t, Standing> standing_;
  std::set<PieceId> scope_;
  Replayed result_;
};

}  // namespace ribwright::ledger
