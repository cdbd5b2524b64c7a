// SPDX-License-Identifier: Apache-2.0
// The rules: what an event does to pieces, as a pure function.
//
// Apply takes an event and the pieces it names as they were before, and gives them as they are
// after, with the new ones; or refuses. It reads no clock and no database, so the same events
// always give the same pieces: the store applies it when writing, a correction replays it, and
// `check-db` replays the whole ledger with it and compares.
//
// Rules:
//   A piece that is cut up, served, sold, discarded or voided takes no further event but tasted,
//   photographed and judged (kPieceGone; `where` says by which event it went). kPieceUnknown.
//   A weighing, also of a late sender, changes the mass only if it happened after the last one;
//   it must not be heavier than that one beyond both scales' tolerance where that mass was weighed
//   or divided (kMassGrew): beef gains no mass. A count may say so, with its reason.
//   Cut and trimmed: mass_balance.h (kMassNotConserved); money by mass over the outputs (and the
//   rest, when trimmed), kCurrencyMixed where inputs have cost in two currencies; the cost is
//   unknown where one input's is.
//   A part served, sold or discarded must weigh less than the piece (the tolerance of one weighing
//   counts as the whole); its share of the cost goes with it.
//   Nothing happens to a piece more than five minutes before it was made (kClockSkew).
//   A count of a place sets what it found: mass and place; what it did not find is missing.
//   Corrected and voided change nothing here; replay.h applies their effect.
#pragma once

#include <functional>
#include <utility>
#include <vector>

#include "base/result.h"
#include "ledger/event.h"
#include "ledger/piece.h"

namespace ribwright::ledger {

inline constexpr std::chrono::minutes kClockTolerance{5};  // assumed: phones keep time by network

// A piece as it was before this event, or none.
using PieceLookup = std::function<const Piece*(PieceId)>;

struct Change {
  std::vector<Piece> pieces;                         // changed and new, each once
  std::vector<std::pair<PieceId, PieceId>> lineage;  // parent, child
};

Result<Change> Apply(const Event& event, const PieceLookup& before);

}  // namespace ribwright::ledger
