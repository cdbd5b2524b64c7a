// SPDX-License-Identifier: Apache-2.0
// Parts of apply.h that its sources share.
#pragma once

#include <string_view>
#include <vector>

#include "base/result.h"
#include "ledger/apply.h"

namespace ribwright::ledger {

// What one event does, as it is worked out: pieces are fetched, checked and changed here.
class Working {
 public:
  Working(const Event& event, const PieceLookup& before) : event_(event), before_(before) {}

  const Event& event() const { return event_; }
  // The piece as it was, or why it cannot be used.
  Result<Piece> There(PieceId id) const;  // can still be worked on
  Result<Piece> Known(PieceId id) const;  // ever existed and was not voided
  void Keep(Piece piece);                 // its state after; stamps changed and version
  void Link(PieceId parent, PieceId child) { change_.lineage.emplace_back(parent, child); }
  Change Done() { return std::move(change_); }

 private:
  const Event& event_;
  const PieceLookup& before_;
  Change change_;
};

Status ApplyCut(const Cut& cut, Working& work);
Status ApplyTrimmed(const Trimmed& trimmed, Working& work);
Status ApplyCounted(const Counted& counted, Working& work);

// Puts a piece into a place, if that happened after it was put where it is.
void MoveTo(Piece& piece, const std::string& location, units::UtcTime when);
// A missing piece that turned up.
void TurnUp(Piece& piece);
// Stops the clock of the ageing room.
void EndAgeing(Piece& piece, units::UtcTime when);
void SetMass(Piece& piece, units::Mass mass, MassBasis basis, units::UtcTime when);

}  // namespace ribwright::ledger
