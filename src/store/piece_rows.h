// SPDX-License-Identifier: Apache-2.0
// Pieces as rows of table piece and back, and the small tables of names (person, cut, location).
//
// Names caches numbers of names for one connection; Forget after a rollback. Errors as sqlite.h's.
#pragma once

#include <optional>
#include <string>
#include <unordered_map>

#include "base/result.h"
#include "ledger/piece.h"
#include "store/sqlite.h"

namespace ribwright::store {

class Names {
 public:
  enum class Table { kPerson, kCut, kLocation };
  // Adds the name where it is new.
  Result<std::int64_t> NumberOf(Connection& connection, Table table, const std::string& name);
  void Forget();

 private:
  std::unordered_map<std::string, std::int64_t> known_[3];
};

// The columns that ReadPiece expects, for "SELECT <these> FROM <kPieceTables> WHERE …".
inline constexpr const char* kPieceColumns =
    "p.id, p.code, cut.name, p.state, p.mass_mg, p.basis, p.mass_at_ms, location.name, "
    "p.moved_at_ms, p.cost_minor, p.currency, p.supplier, p.lot, p.slaughtered, p.received_ms, "
    "p.made_ms, p.ageing_since_ms, p.aged_ms, p.changed_ms, p.version, p.made_by, p.note";
inline constexpr const char* kPieceTables =
    "piece AS p JOIN cut ON cut.id = p.cut JOIN location ON location.id = p.location";
inline constexpr int kPieceColumnCount = 22;

// From the current row; columns start at `first`. kStoreDamaged where a text is not one of ours.
Result<ledger::Piece> ReadPiece(const Statement& row, int first = 0);

Result<std::optional<ledger::Piece>> FindPiece(Connection& connection, ledger::PieceId id);
// kPieceUnknown where there is none.
Result<ledger::Piece> GetPiece(Connection& connection, ledger::PieceId id);

Status InsertPiece(Connection& connection, Names& names, const ledger::Piece& piece);
Status UpdatePiece(Connection& connection, Names& names, const ledger::Piece& piece);
// The same where it is known what the row holds.
Status UpdatePiece(Connection& connection, Names& names, const ledger::Piece& before,
                   const ledger::Piece& piece);

}  // namespace ribwright::store
