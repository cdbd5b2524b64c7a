// SPDX-License-Identifier: Apache-2.0
// Counted: what was found is where and what it was found to be; what was not found is missing.
#include "ledger/apply_parts.h"

namespace ribwright::ledger {

Status ApplyCounted(const Counted& counted, Working& work) {
  const units::UtcTime when = work.event().draft.happened;
  for (const CountLine& line : counted.lines) {
    auto piece = work.There(line.piece);
    if (!piece) return Fail(piece.error());
    if (!line.found) {
      // A cooked piece is not stock; what a late count did not find may have come since.
      if (IsStock(piece->state) && piece->moved_at <= when) piece->state = PieceState::kMissing;
    } else {
      TurnUp(*piece);
      MoveTo(*piece, counted.location, when);
      if (when >= piece->mass_at) SetMass(*piece, *line.found, MassBasis::kWeighed, when);
    }
    work.Keep(std::move(*piece));
  }
  return {};
}

}  // namespace ribwright::ledger
