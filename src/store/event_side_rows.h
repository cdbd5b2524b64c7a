// SPDX-License-Identifier: Apache-2.0
// What is written beside an event: which pieces it is about, lineage, words to search, the report
// of a judged face, lines of a count, amendments. Errors as sqlite.h's.
#pragma once

#include <vector>

#include "base/result.h"
#include "ledger/apply.h"
#include "ledger/event.h"
#include "store/piece_rows.h"
#include "store/sqlite.h"

namespace ribwright::store {

Status WritePiecesOf(Connection& connection, std::int64_t event,
                     const std::vector<ledger::PieceId>& pieces);
Status WriteLineage(Connection& connection, const ledger::Change& change);
// Lineage of these pieces as it now is; what was there before goes.
Status ReplaceLineage(Connection& connection, const std::vector<ledger::Piece>& pieces,
                      const ledger::Change& change);
Status WriteWords(Connection& connection, const ledger::Event& event);
Status WriteReport(Connection& connection, const ledger::Event& event);
// `pieces`: those of the event that the amendment is about in the end; it joins their histories.
Status WriteAmendment(Connection& connection, const ledger::Event& event, std::int64_t target,
                      const std::vector<ledger::PieceId>& pieces);
// Must run before the pieces are changed: a line says what the ledger held until now.
Status WriteCountLines(Connection& connection, Names& names, const ledger::Event& event);

}  // namespace ribwright::store
