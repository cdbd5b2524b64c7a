// SPDX-License-Identifier: Apache-2.0
// EventWriter: writes drafts as events, with the pieces, lineage and words that follow from them.
//
// Works on the writing connection inside a transaction of write_queue.h: Begin is called first,
// Undone after a roll back. Append checks the draft, answers a repeated key with what was written
// then, gives numbers and codes to new pieces, applies the rules (ledger/apply.h) or, for
// corrected and voided, derives the whole family of pieces again (ledger/replay.h), and writes. On
// an error before anything is written the transaction is as it was; on an error of SQLite the
// caller rolls back.
#pragma once

#include <map>
#include <optional>
#include <string>

#include "base/result.h"
#include "ledger/apply.h"
#include "ledger/port.h"
#include "store/event_rows.h"
#include "store/piece_rows.h"

namespace ribwright::store {

class EventWriter {
 public:
  void Begin();
  void Undone();

  Result<ledger::Receipt> Append(Connection& connection, ledger::Draft draft, units::UtcTime now);
  Names& names() { return names_; }

 private:
  // Last event and piece, read once a transaction.
  struct Head {
    std::int64_t number = 0;
    ledger::Hash hash;
    units::UtcTime written;
    std::int64_t piece = 0;
  };
  Status ReadHead(Connection& connection);
  Status CheckClock(const ledger::Draft& draft, units::UtcTime now) const;
  Status NameNewPieces(Connection& connection, ledger::Payload& payload, std::int64_t& last) const;
  Result<ledger::Change> ChangeOf(Connection& connection, const ledger::Event& event);
  Status Write(Connection& connection, const ledger::Event& event, const std::string& data,
               const ledger::Change& change);
  Result<ledger::Receipt> Repeat(Connection& connection, const ledger::Draft& draft,
                                 const StoredEvent& stored);

  std::optional<Head> head_;
  std::map<ledger::PieceId, ledger::Piece> before_;  // pieces that the event names, as they were
  Names names_;
};

// Whether a draft asks for what this event was written for (times are not compared: a door may
// have set them).
bool AsksForTheSame(const ledger::Draft& draft, const StoredEvent& stored);

}  // namespace ribwright::store
