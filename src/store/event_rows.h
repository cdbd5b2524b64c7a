// SPDX-License-Identifier: Apache-2.0
// Events as rows of table event and back.
//
// A corrected event that is read back has `instead` filled in from its data and its target's kind.
// Errors as sqlite.h's; kStoreDamaged where a row's data cannot be read.
#pragma once

#include <optional>
#include <set>
#include <string>
#include <vector>

#include "base/result.h"
#include "ledger/event.h"
#include "store/piece_rows.h"
#include "store/sqlite.h"

namespace ribwright::store {

struct StoredEvent {
  ledger::Event event;
  std::string data;
};

inline constexpr const char* kEventColumns =
    "e.number, e.kind, e.happened_ms, e.written_ms, person.name, e.key, e.note, e.data, "
    "e.previous, e.hash";
inline constexpr const char* kEventTables = "event AS e JOIN person ON person.id = e.person";

// From the current row, columns from 0. `instead` of a corrected event is left to FillInstead.
Result<StoredEvent> ReadEvent(const Statement& row);
Status FillInstead(Connection& connection, ledger::Event& event);

Result<std::optional<StoredEvent>> FindEvent(Connection& connection, std::int64_t number);
Result<StoredEvent> GetEvent(Connection& connection, std::int64_t number);  // kEntryUnknown
Result<std::optional<StoredEvent>> FindEventByKey(Connection& connection, std::string_view key);

Status InsertEvent(Connection& connection, Names& names, const ledger::Event& event,
                   std::string_view data);

// Every event about these pieces, and every amendment of those, in order.
Result<std::vector<ledger::Event>> EventsAbout(Connection& connection,
                                               const std::set<ledger::PieceId>& pieces);
// Amendments of an event, and of those, and so on.
Result<std::vector<ledger::Event>> AmendmentsOf(Connection& connection, std::int64_t number);

// All pieces that are joined to these by cuts, up and down, with these.
Result<std::set<ledger::PieceId>> FamilyOf(Connection& connection,
                                           const std::vector<ledger::PieceId>& pieces);

}  // namespace ribwright::store
