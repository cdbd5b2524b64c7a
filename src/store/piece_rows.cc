// SPDX-License-Identifier: Apache-2.0
#include "store/piece_rows.h"

#include <fmt/format.h>

namespace ribwright::store {
namespace {

using ledger::Piece;
using ledger::PieceId;

constexpr const char* kFind[] = {"SELECT id FROM person WHERE name = ?",
                                 "SELECT id FROM cut WHERE name = ?",
                                 "SELECT id FROM location WHERE name = ?"};
constexpr const char* kAdd[] = {"INSERT INTO person (name) VALUES (?) RETURNING id",
                                "INSERT INTO cut (name) VALUES (?) RETURNING id",
                                "INSERT INTO location (name) VALUES (?) RETURNING id"};

// Binds what changes in a piece's life, from parameter `at` on; 17 values.
Status BindLife(Connection& connection, Names& names, const Piece& piece, Statement& row, int at) {
  const auto location = names.NumberOf(connection, Names::Table::kLocation, piece.location);
  if (!location) return Fail(location.error());
  const auto cut = names.NumberOf(connection, Names::Table::kCut, piece.cut);
  if (!cut) return Fail(cut.error());
  row.Bind(at, *cut).Bind(at + 1, ledger::StateText(piece.state));
  row.Bind(at + 2, piece.mass.milligrams()).Bind(at + 3, ledger::BasisText(piece.basis));
  row.Bind(at + 4, piece.mass_at.ms).Bind(at + 5, *location).Bind(at + 6, piece.moved_at.ms);
  if (piece.cost) {
    row.Bind(at + 7, piece.cost->minor).Bind(at + 8, piece.cost->currency.text());
  } else {
    row.BindNull(at + 7).BindNull(at + 8);
  }
  row.Bind(at + 9, piece.received.ms).Bind(at + 10, piece.made.ms);
  if (piece.ageing_since) {
    row.Bind(at + 11, piece.ageing_since->ms);
  } else {
    row.BindNull(at + 11);
  }
  row.Bind(at + 12, std::int64_t{piece.aged.count()}).Bind(at + 13, piece.changed.ms);
  row.Bind(at + 14, piece.version);
  row.Bind(at + 15, std::string_view(piece.supplier)).Bind(at + 16, std::string_view(piece.lot));
  return {};
}

}  // namespace

Result<std::int64_t> Names::NumberOf(Connection& connection, Table table, const std::string& name) {
  const auto which = static_cast<std::size_t>(table);
  const auto known = known_[which].find(name);
  if (known != known_[which].end()) return known->second;
  for (const char* sql : {kFind[which], kAdd[which]}) {
    auto statement = connection.Prepare(sql);
    if (!statement) return Fail(statement.error());
    const auto row = statement->Bind(1, std::string_view(name)).Step();
    if (!row) return Fail(row.error());
    if (!*row) continue;
    const std::int64_t number = statement->Int(0);
    // Stepped to its end, so that an insert is complete.
    if (const Status done = statement->Run(); !done) return Fail(done.error());
    known_[which].emplace(name, number);
    return number;
  }
  return Fail(Code::kInternal, "A name was neither found nor added.", name, "Report it.");
}

void Names::Forget() {
  for (auto& names : known_) names.clear();
}

Result<Piece> ReadPiece(const Statement& row, int first) {
  Piece piece;
  const auto at = [&](int column) { return first + column; };
  piece.id = {row.Int(at(0))};
  piece.code = row.Text(at(1));
  piece.cut = row.Text(at(2));
  const auto state = ledger::StateFromText(row.Text(at(3)));
  const auto basis = ledger::BasisFromText(row.Text(at(5)));
  std::optional<units::Currency> currency;
  if (!row.IsNull(at(9))) currency = units::Currency::FromText(row.Text(at(10)));
  Result<units::Day> day = units::Day();
  if (!row.IsNull(at(13))) day = units::DayFromText(row.Text(at(13)));
  if (!state || !basis || row.IsNull(at(9)) != !currency || !day) {
    return Fail(Code::kStoreDamaged, "A piece's row holds words that the program never wrote.",
                fmt::format("piece {}", piece.id.value), "Restore the last backup.");
  }
  piece.state = *state;
  piece.mass = units::Mass::FromMilligrams(row.Int(at(4)));
  piece.basis = *basis;
  piece.mass_at = {row.Int(at(6))};
  piece.location = row.Text(at(7));
  piece.moved_at = {row.Int(at(8))};
  if (currency) piece.cost = units::Money{row.Int(at(9)), *currency};
  piece.supplier = row.Text(at(11));
  piece.lot = row.Text(at(12));
  if (!row.IsNull(at(13))) piece.slaughtered = *day;
  piece.received = {row.Int(at(14))};
  piece.made = {row.Int(at(15))};
  if (!row.IsNull(at(16))) piece.ageing_since = units::UtcTime{row.Int(at(16))};
  piece.aged = std::chrono::milliseconds(row.Int(at(17)));
  piece.changed = {row.Int(at(18))};
  piece.version = row.Int(at(19));
  piece.made_by = row.Int(at(20));
  piece.note = row.Text(at(21));
  return piece;
}

Result<std::optional<Piece>> FindPiece(Connection& connection, PieceId id) {
  static const std::string kSql =
      fmt::format("SELECT {} FROM {} WHERE p.id = ?", kPieceColumns, kPieceTables);
  auto statement = connection.Prepare(kSql);
  if (!statement) return Fail(statement.error());
  const auto row = statement->Bind(1, id.value).Step();
  if (!row) return Fail(row.error());
  if (!*row) return std::optional<Piece>();
  auto piece = ReadPiece(*statement);
  if (!piece) return Fail(piece.error());
  return std::optional<Piece>(std::move(*piece));
}

Result<Piece> GetPiece(Connection& connection, PieceId id) {
  auto piece = FindPiece(connection, id);
  if (!piece) return Fail(piece.error());
  if (*piece) return std::move(**piece);
  return Fail(Code::kPieceUnknown, fmt::format("There is no piece number {}.", id.value),
              fmt::format("piece {}", id.value), "Look the piece up by its code.");
}

Status InsertPiece(Connection& connection, Names& names, const Piece& piece) {
  auto row = connection.Prepare(
      "INSERT INTO piece (id, code, slaughtered, made_by, note, cut, state, mass_mg, basis,"
      " mass_at_ms, location, moved_at_ms, cost_minor, currency, received_ms, made_ms,"
      " ageing_since_ms, aged_ms, changed_ms, version, supplier, lot)"
      " VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)");
  if (!row) return Fail(row.error());
  row->Bind(1, piece.id.value).Bind(2, std::string_view(piece.code));
  std::string day;
  if (piece.slaughtered) {
    day = units::DayText(*piece.slaughtered);
    row->Bind(3, std::string_view(day));
  } else {
    row->BindNull(3);
  }
  row->Bind(4, piece.made_by).Bind(5, std::string_view(piece.note));
  if (const Status bound = BindLife(connection, names, piece, *row, 6); !bound) return bound;
  return row->Run();
}

Status UpdatePiece(Connection& connection, Names& names, const Piece& piece) {
  auto row = connection.Prepare(
      "UPDATE OR FAIL piece SET cut = ?, state = ?, mass_mg = ?, basis = ?, mass_at_ms = ?, "
      "location = ?,"
      " moved_at_ms = ?, cost_minor = ?, currency = ?, received_ms = ?, made_ms = ?,"
      " ageing_since_ms = ?, aged_ms = ?, changed_ms = ?, version = ?, supplier = ?, lot = ?,"
      " slaughtered = ? WHERE id = ?");
  if (!row) return Fail(row.error());
  if (const Status bound = BindLife(connection, names, piece, *row, 1); !bound) return bound;
  std::string day;
  if (piece.slaughtered) {
    day = units::DayText(*piece.slaughtered);
    row->Bind(18, std::string_view(day));
  } else {
    row->BindNull(18);
  }
  return row->Bind(19, piece.id.value).Run();
}

Status UpdatePiece(Connection& connection, Names& names, const Piece& before, const Piece& piece) {
  // Most events leave these columns as they are, and the two foreign keys among them unchecked.
  if (piece.cut != before.cut || piece.location != before.location ||
      piece.received != before.received || piece.supplier != before.supplier ||
      piece.lot != before.lot || piece.slaughtered != before.slaughtered ||
      piece.made != before.made) {
    return UpdatePiece(connection, names, piece);
  }
  // What was only looked at or tasted leaves the index of stock alone, too.
  if (piece.state == before.state && piece.mass == before.mass && piece.basis == before.basis &&
      piece.mass_at == before.mass_at && piece.moved_at == before.moved_at &&
      piece.cost == before.cost && piece.ageing_since == before.ageing_since &&
      piece.aged == before.aged) {
    auto seen =
        connection.Prepare("UPDATE OR FAIL piece SET changed_ms = ?, version = ? WHERE id = ?");
    if (!seen) return Fail(seen.error());
    return seen->Bind(1, piece.changed.ms).Bind(2, piece.version).Bind(3, piece.id.value).Run();
  }
  auto row = connection.Prepare(
      "UPDATE OR FAIL piece SET state = ?, mass_mg = ?, basis = ?, mass_at_ms = ?, moved_at_ms = ?,"
      " cost_minor = ?, currency = ?, ageing_since_ms = ?, aged_ms = ?, changed_ms = ?,"
      " version = ? WHERE id = ?");
  if (!row) return Fail(row.error());
  row->Bind(1, ledger::StateText(piece.state)).Bind(2, piece.mass.milligrams());
  row->Bind(3, ledger::BasisText(piece.basis)).Bind(4, piece.mass_at.ms);
  row->Bind(5, piece.moved_at.ms);
  if (piece.cost) {
    row->Bind(6, piece.cost->minor).Bind(7, piece.cost->currency.text());
  } else {
    row->BindNull(6).BindNull(7);
  }
  if (piece.ageing_since) {
    row->Bind(8, piece.ageing_since->ms);
  } else {
    row->BindNull(8);
  }
  row->Bind(9, std::int64_t{piece.aged.count()}).Bind(10, piece.changed.ms);
  return row->Bind(11, piece.version).Bind(12, piece.id.value).Run();
}

}  // namespace ribwright::store
