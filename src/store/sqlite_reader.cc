// SPDX-License-Identifier: Apache-2.0
#include "store/sqlite_reader.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <deque>
#include <map>
#include <nlohmann/json.hpp>

#include "ledger/piece_code.h"
#include "ledger/replay.h"
#include "store/event_rows.h"
#include "store/piece_rows.h"

namespace ribwright::store {

using ledger::EventView;
using ledger::Piece;
using ledger::PieceId;

namespace {

Result<std::vector<std::int64_t>> NumbersOf(Connection& connection, std::string_view sql,
                                            std::int64_t value) {
  auto statement = connection.Prepare(sql);
  if (!statement) return Fail(statement.error());
  statement->Bind(1, value);
  std::vector<std::int64_t> numbers;
  for (;;) {
    const auto row = statement->Step();
    if (!row) return Fail(row.error());
    if (!*row) return numbers;
    numbers.push_back(statement->Int(0));
  }
}

Result<std::vector<Piece>> PiecesBy(Connection& connection, std::string_view sql, PieceId id) {
  auto statement = connection.Prepare(sql);
  if (!statement) return Fail(statement.error());
  statement->Bind(1, id.value);
  std::vector<Piece> pieces;
  for (;;) {
    const auto row = statement->Step();
    if (!row) return Fail(row.error());
    if (!*row) return pieces;
    auto piece = ReadPiece(*statement);
    if (!piece) return Fail(piece.error());
    pieces.push_back(std::move(*piece));
  }
}

Measured MeasuredFrom(std::string_view text) {
  const auto json = nlohmann::json::parse(text);
  if (json.at("value").is_null()) {
    return Measured::Unknown(json.value("unit", "1"), json.value("reason", "not known"));
  }
  Measured measured = Measured::Of(json.at("value"), json.at("low"), json.at("high"),
                                   json.value("unit", "1"), json.value("basis", "report"));
  measured.level = json.value("level", 0.9);
  return measured;
}

Result<std::vector<ledger::FaceLine>> FacesOf(Connection& connection,
                                              const std::vector<EventView>& events) {
  std::vector<ledger::FaceLine> faces;
  for (const EventView& view : events) {
    const auto* judged = std::get_if<ledger::Judged>(&view.event.draft.payload);
    if (judged == nullptr || view.voided_by != 0) continue;
    auto statement = connection.Prepare("SELECT marbling, area FROM face WHERE event = ?");
    if (!statement) return Fail(statement.error());
    const auto row = statement->Bind(1, view.event.number).Step();
    if (!row) return Fail(row.error());
    if (!*row) continue;
    ledger::FaceLine line;
    line.event = view.event.number;
    line.piece = judged->piece;
    line.judged = *judged;
    line.happened = view.event.draft.happened;
    line.marbling_pct = MeasuredFrom(statement->Text(0));
    line.area = MeasuredFrom(statement->Text(1));
    faces.push_back(std::move(line));
  }
  return faces;
}

}  // namespace

Result<EventView> ViewOf(Connection& connection, std::int64_t number) {
  auto stored = GetEvent(connection, number);
  if (!stored) return Fail(stored.error());
  const auto amendments = AmendmentsOf(connection, number);
  if (!amendments) return Fail(amendments.error());
  EventView view;
  view.event = std::move(stored->event);
  view.data = std::move(stored->data);
  if (amendments->empty()) return view;
  std::vector<const ledger::Event*> pointers;
  for (const ledger::Event& event : *amendments) pointers.push_back(&event);
  const auto standing = ledger::StandingOf(pointers);
  const auto found = standing.find(number);
  if (found == standing.end()) return view;
  view.voided_by = found->second.voided_by;
  view.corrected_by = found->second.corrected_by;
  if (found->second.says_now != nullptr) view.says_now = *found->second.says_now;
  return view;
}

Result<Piece> SqliteReader::Find(PieceId id) {
  return In<Piece>([&](Connection& connection) { return GetPiece(connection, id); });
}

Result<Piece> SqliteReader::FindCode(std::string_view typed) {
  const auto code = ledger::CodeFromTyped(typed);
  const auto unknown = [&] {
    return Fail(Code::kPieceUnknown, "No piece has this code.", std::string(typed.substr(0, 60)),
                "Check the label; search for the piece by its cut or lot.");
  };
  if (!code) return unknown();
  return In<Piece>([&](Connection& connection) -> Result<Piece> {
    PieceId id;
    {
      auto statement = connection.Prepare("SELECT id FROM piece WHERE code = ?");
      if (!statement) return Fail(statement.error());
      const auto row = statement->Bind(1, std::string_view(*code)).Step();
      if (!row) return Fail(row.error());
      if (!*row) return unknown();
      id = {statement->Int(0)};
    }
    return GetPiece(connection, id);
  });
}

Result<ledger::PiecePage> SqliteReader::Page(PieceId id) {
  static const std::string kFrom = fmt::format(
      "SELECT {} FROM {} JOIN lineage ON lineage.parent = p.id WHERE lineage.child = ? ORDER BY "
      "p.id",
      kPieceColumns, kPieceTables);
  static const std::string kInto = fmt::format(
      "SELECT {} FROM {} JOIN lineage ON lineage.child = p.id WHERE lineage.parent = ? ORDER BY "
      "p.id",
      kPieceColumns, kPieceTables);
  return In<ledger::PiecePage>([&](Connection& connection) -> Result<ledger::PiecePage> {
    ledger::PiecePage page;
    auto piece = GetPiece(connection, id);
    if (!piece) return Fail(piece.error());
    page.piece = std::move(*piece);
    auto from = PiecesBy(connection, kFrom, id);
    if (!from) return Fail(from.error());
    page.made_from = std::move(*from);
    auto into = PiecesBy(connection, kInto, id);
    if (!into) return Fail(into.error());
    page.made_into = std::move(*into);
    const auto numbers = NumbersOf(
        connection, "SELECT event FROM piece_event WHERE piece = ? ORDER BY event", id.value);
    if (!numbers) return Fail(numbers.error());
    for (const std::int64_t number : *numbers) {
      auto view = ViewOf(connection, number);
      if (!view) return Fail(view.error());
      page.events.push_back(std::move(*view));
    }
    auto faces = FacesOf(connection, page.events);
    if (!faces) return Fail(faces.error());
    page.faces = std::move(*faces);
    return page;
  });
}

Result<EventView> SqliteReader::EventByNumber(std::int64_t number) {
  return In<EventView>([&](Connection& connection) { return ViewOf(connection, number); });
}

Result<std::string> SqliteReader::FaceJson(std::int64_t judged_event) {
  return In<std::string>([&](Connection& connection) -> Result<std::string> {
    auto statement = connection.Prepare("SELECT report FROM face WHERE event = ?");
    if (!statement) return Fail(statement.error());
    const auto row = statement->Bind(1, judged_event).Step();
    if (!row) return Fail(row.error());
    if (!*row) {
      return Fail(Code::kEntryUnknown, fmt::format("Event {} is no judged face.", judged_event),
                  fmt::format("event {}", judged_event), "Look at the piece's faces.");
    }
    return std::string(statement->Text(0));
  });
}

namespace {

using Steps = std::map<PieceId, int>;

// Fewest steps from `start` along `next`.
Steps StepsFrom(PieceId start, const std::multimap<PieceId, PieceId>& next) {
  Steps steps = {{start, 0}};
  std::deque<PieceId> reached = {start};
  while (!reached.empty()) {
    const PieceId here = reached.front();
    reached.pop_front();
    const auto [first, last] = next.equal_range(here);
    for (auto edge = first; edge != last; ++edge) {
      if (steps.emplace(edge->second, steps[here] + 1).second) reached.push_back(edge->second);
    }
  }
  return steps;
}

// Sorts the family into what lies above, below and beside the piece.
ledger::Trace Arrange(std::vector<Piece> family, PieceId id,
                      std::vector<std::pair<PieceId, PieceId>> lineage) {
  std::multimap<PieceId, PieceId> down;
  std::multimap<PieceId, PieceId> up;
  for (const auto& [parent, child] : lineage) {
    down.emplace(parent, child);
    up.emplace(child, parent);
  }
  const Steps above = StepsFrom(id, up);
  const Steps below = StepsFrom(id, down);
  ledger::Trace trace;
  for (Piece& piece : family) {
    const auto higher = above.find(piece.id);
    const auto lower = below.find(piece.id);
    if (piece.id == id) {
      trace.piece = std::move(piece);
    } else if (higher != above.end()) {
      trace.up.push_back({std::move(piece), higher->second});
    } else if (lower != below.end()) {
      trace.down.push_back({std::move(piece), lower->second});
    } else {
      trace.siblings.push_back(std::move(piece));
    }
  }
  const auto nearest = [](const ledger::TraceStep& a, const ledger::TraceStep& b) {
    return a.steps < b.steps;
  };
  std::stable_sort(trace.up.begin(), trace.up.end(), nearest);
  std::stable_sort(trace.down.begin(), trace.down.end(), nearest);
  trace.lineage = std::move(lineage);
  return trace;
}

}  // namespace

Result<ledger::Trace> SqliteReader::TraceOf(PieceId id) {
  // Everything that came from the same first pieces, with the parents of each, in one statement.
  static const std::string kSql = fmt::format(
      "WITH RECURSIVE"
      " up (piece) AS (SELECT ?1 UNION SELECT parent FROM up JOIN lineage ON child = piece),"
      " kin (piece) AS (SELECT piece FROM up UNION SELECT child FROM kin"
      "  JOIN lineage ON parent = piece)"
      " SELECT {}, (SELECT group_concat(parent) FROM lineage WHERE child = p.id)"
      " FROM {} JOIN kin ON kin.piece = p.id ORDER BY p.id",
      kPieceColumns, kPieceTables);
  return In<ledger::Trace>([&](Connection& connection) -> Result<ledger::Trace> {
    if (const auto self = GetPiece(connection, id); !self) return Fail(self.error());
    std::vector<Piece> family;
    std::vector<std::pair<PieceId, PieceId>> lineage;
    auto statement = connection.Prepare(kSql);
    if (!statement) return Fail(statement.error());
    statement->Bind(1, id.value);
    for (;;) {
      const auto row = statement->Step();
      if (!row) return Fail(row.error());
      if (!*row) return Arrange(std::move(family), id, std::move(lineage));
      auto piece = ReadPiece(*statement);
      if (!piece) return Fail(piece.error());
      const std::string_view parents = statement->Text(kPieceColumnCount);
      for (const char *at = parents.data(), *end = at + parents.size(); at < end; ++at) {
        std::int64_t parent = 0;
        at = std::from_chars(at, end, parent).ptr;
        lineage.emplace_back(PieceId{parent}, piece->id);
      }
      family.push_back(std::move(*piece));
    }
  });
}

}  // namespace ribwright::store
