// SPDX-License-Identifier: Apache-2.0
// Amending: what corrected and voided events do to pieces. The whole family of the pieces (all
// joined to them by cuts) is derived again from its events; if a later event cannot stand with the
// amendment, that is the refusal, and nothing changes.
//
// Refused with kEntryNotAmendable: a correction of a correction or voiding (correct the first event
// again), of another kind or about other pieces; the voiding of what is voided already.
#pragma once

#include <vector>

#include "base/result.h"
#include "ledger/apply.h"
#include "ledger/event.h"
#include "store/sqlite.h"

namespace ribwright::store {

struct Amendment {
  std::int64_t target = 0;
  std::vector<ledger::PieceId> pieces;  // of the event that it is about in the end
};
// Fills in `instead` from `changes`; none where the event is no amendment.
Result<std::optional<Amendment>> PrepareAmendment(Connection& connection, ledger::Event& event);

// Every piece of the family after the amendment, and its lineage.
Result<ledger::Change> ChangeByAmendment(Connection& connection, const ledger::Event& event,
                                         const Amendment& amendment);

}  // namespace ribwright::store
