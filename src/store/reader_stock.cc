// SPDX-License-Identifier: Apache-2.0
// Stock, par and counts of sqlite_reader.h.
#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "store/event_rows.h"
#include "store/piece_rows.h"
#include "store/sqlite_reader.h"

namespace ribwright::store {

using ledger::StockLine;
using units::Mass;
using units::Money;

namespace {

void AddMoney(std::vector<Money>& sums, std::int64_t minor, std::string_view currency) {
  for (Money& sum : sums) {
    if (sum.currency.text() == currency) {
      sum.minor += minor;
      return;
    }
  }
  const auto known = units::Currency::FromText(currency);
  if (known) sums.push_back({minor, *known});
}

using Key = std::pair<std::int64_t, std::int64_t>;  // location, cut

Status AddPieces(Connection& connection, const std::optional<std::string>& location,
                 units::UtcTime now, std::map<Key, StockLine>& lines) {
  // Answered from index piece_stock alone.
  const std::string_view sql =
      location ? "SELECT location, cut, received_ms, mass_mg, cost_minor, currency FROM piece"
                 " WHERE state IN ('in_stock', 'ageing') AND location ="
                 " (SELECT id FROM location WHERE name = ?)"
               : "SELECT location, cut, received_ms, mass_mg, cost_minor, currency FROM piece"
                 " WHERE state IN ('in_stock', 'ageing')";
  auto statement = connection.Prepare(sql);
  if (!statement) return Fail(statement.error());
  if (location) statement->Bind(1, std::string_view(*location));
  StockLine* line = nullptr;
  Key key{-1, -1};
  for (;;) {
    const auto row = statement->Step();
    if (!row) return Fail(row.error());
    if (!*row) return {};
    const Key here{statement->Int(0), statement->Int(1)};
    if (line == nullptr || here != key) {
      key = here;
      line = &lines[key];
    }
    const Mass mass = Mass::FromMilligrams(statement->Int(3));
    const int days = ledger::AgeDays({statement->Int(2)}, now);
    ledger::AgeBand& band = line->bands.at(ledger::AgeBandOf(days));
    ++band.pieces;
    band.mass += mass;
    ++line->pieces;
    line->mass += mass;
    line->oldest_days = std::max(line->oldest_days, days);
    if (statement->IsNull(4)) {
      ++line->pieces_without_cost;
    } else {
      AddMoney(line->cost, statement->Int(4), statement->Text(5));
    }
  }
}

Status AddPars(Connection& connection, const std::optional<std::string>& location,
               std::map<Key, StockLine>& lines) {
  auto statement = connection.Prepare(
      "SELECT par.location, par.cut, par.mass_mg, location.name FROM par"
      " JOIN location ON location.id = par.location");
  if (!statement) return Fail(statement.error());
  for (;;) {
    const auto row = statement->Step();
    if (!row) return Fail(row.error());
    if (!*row) return {};
    if (location && statement->Text(3) != *location) continue;
    StockLine& line = lines[{statement->Int(0), statement->Int(1)}];
    line.par = Mass::FromMilligrams(statement->Int(2));
    line.short_by = std::max(Mass(), *line.par - line.mass);
  }
}

Result<std::string> NameOf(Connection& connection, const char* sql, std::int64_t id) {
  auto statement = connection.Prepare(sql);
  if (!statement) return Fail(statement.error());
  const auto row = statement->Bind(1, id).Step();
  if (!row) return Fail(row.error());
  return *row ? std::string(statement->Text(0)) : std::string();
}

}  // namespace

Result<std::vector<StockLine>> SqliteReader::Stock(const std::optional<std::string>& location) {
  return In<std::vector<StockLine>>([&](Connection& connection) -> Result<std::vector<StockLine>> {
    std::map<Key, StockLine> lines;
    if (const Status done = AddPieces(connection, location, clock_(), lines); !done) {
      return Fail(done.error());
    }
    if (const Status done = AddPars(connection, location, lines); !done) {
      return Fail(done.error());
    }
    std::vector<StockLine> stock;
    for (auto& [key, line] : lines) {
      auto place = NameOf(connection, "SELECT name FROM location WHERE id = ?", key.first);
      if (!place) return Fail(place.error());
      auto cut = NameOf(connection, "SELECT name FROM cut WHERE id = ?", key.second);
      if (!cut) return Fail(cut.error());
      line.location = std::move(*place);
      line.cut = std::move(*cut);
      stock.push_back(std::move(line));
    }
    std::sort(stock.begin(), stock.end(), [](const StockLine& a, const StockLine& b) {
      return std::tie(a.location, a.cut) < std::tie(b.location, b.cut);
    });
    return stock;
  });
}

Result<std::vector<ledger::Par>> SqliteReader::Pars() {
  return In<std::vector<ledger::Par>>(
      [&](Connection& connection) -> Result<std::vector<ledger::Par>> {
        auto statement = connection.Prepare(
            "SELECT cut.name, location.name, par.mass_mg, person.name, par.set_ms FROM par"
            " JOIN cut ON cut.id = par.cut JOIN location ON location.id = par.location"
            " JOIN person ON person.id = par.person ORDER BY location.name, cut.name");
        if (!statement) return Fail(statement.error());
        std::vector<ledger::Par> pars;
        for (;;) {
          const auto row = statement->Step();
          if (!row) return Fail(row.error());
          if (!*row) return pars;
          pars.push_back({std::string(statement->Text(0)), std::string(statement->Text(1)),
                          Mass::FromMilligrams(statement->Int(2)), std::string(statement->Text(3)),
                          units::UtcTime{statement->Int(4)}});
        }
      });
}

Result<ledger::StockCount> SqliteReader::Count(std::int64_t counted_event) {
  return In<ledger::StockCount>([&](Connection& connection) -> Result<ledger::StockCount> {
    const auto view = ViewOf(connection, counted_event);
    if (!view) return Fail(view.error());
    const ledger::Payload& payload = view->says_now ? *view->says_now : view->event.draft.payload;
    const auto* counted = std::get_if<ledger::Counted>(&payload);
    if (counted == nullptr) {
      return Fail(Code::kEntryUnknown, fmt::format("Event {} is no count.", counted_event),
                  fmt::format("event {}", counted_event), "Look at the list of counts.");
    }
    ledger::StockCount count;
    count.event = counted_event;
    count.location = counted->location;
    count.happened = view->event.draft.happened;
    count.user = view->event.draft.user;
    count.whole = counted->whole;
    for (const ledger::CountLine& line : counted->lines) {
      auto piece = GetPiece(connection, line.piece);
      if (!piece) return Fail(piece.error());
      auto statement = connection.Prepare(
          "SELECT c.ledger_mg, c.ledger_state, location.name, c.cost_minor, c.currency"
          " FROM count_line AS c JOIN location ON location.id = c.ledger_location"
          " WHERE c.event = ? AND c.piece = ?");
      if (!statement) return Fail(statement.error());
      const auto row = statement->Bind(1, counted_event).Bind(2, line.piece.value).Step();
      if (!row) return Fail(row.error());
      const auto state = *row ? ledger::StateFromText(statement->Text(1)) : std::nullopt;
      if (!state) {
        return Fail(Code::kStoreDamaged, "A count's line is missing.",
                    fmt::format("event {}, piece {}", counted_event, piece->code),
                    "Run ribwright check-db; restore the last backup.");
      }
      ledger::Piece before = std::move(*piece);
      before.mass = Mass::FromMilligrams(statement->Int(0));
      before.state = *state;
      before.location = statement->Text(2);
      before.cost.reset();
      if (!statement->IsNull(3)) {
        const auto currency = units::Currency::FromText(statement->Text(4));
        if (currency) before.cost = Money{statement->Int(3), *currency};
      }
      count.lines.push_back(ledger::CompareWithCount(before, line.found, line.reason));
    }
    ledger::SumUp(count);
    return count;
  });
}

}  // namespace ribwright::store
