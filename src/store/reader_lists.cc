// SPDX-License-Identifier: Apache-2.0
// Lists and search of sqlite_reader.h.
#include <fmt/format.h>

#include <algorithm>

#include "base/check.h"
#include "ledger/piece_code.h"
#include "store/event_rows.h"
#include "store/piece_rows.h"
#include "store/sqlite_reader.h"

namespace ribwright::store {

using ledger::EventView;
using ledger::Piece;
using ledger::PieceId;

namespace {

// A query as FTS5 wants it: each word quoted, the last a beginning. Empty: nothing to look for.
std::string MatchOf(std::string_view query) {
  std::string match;
  std::string word;
  const auto finish = [&] {
    if (!word.empty()) match += (match.empty() ? "\"" : " \"") + word + "\"";
    word.clear();
  };
  for (const char c : query) {
    const auto byte = static_cast<unsigned char>(c);
    if (byte > 0x20 && c != '"' && byte != 0x7f) {
      word += c;
    } else {
      finish();
    }
  }
  finish();
  return match.empty() ? match : match + "*";
}

char Lower(char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; }

bool Holds(const std::string& text, std::string_view word) {
  return std::search(text.begin(), text.end(), word.begin(), word.end(),
                     [](char a, char b) { return Lower(a) == Lower(b); }) != text.end();
}

// Of the pieces that an event is about, the one whose code or cut the query names; else the first.
Result<std::optional<Piece>> BestPiece(Connection& connection, std::int64_t event,
                                       const std::vector<PieceId>& ids, std::string_view query) {
  std::optional<Piece> best;
  int best_score = -1;
  for (const PieceId id : ids) {
    auto piece = GetPiece(connection, id);
    if (!piece) return Fail(piece.error());
    int score = piece->made_by == event ? 1 : 0;
    std::size_t at = 0;
    while (at < query.size()) {
      const std::size_t end = std::min(query.find(' ', at), query.size());
      const std::string_view word = query.substr(at, end - at);
      at = end + 1;
      if (word.empty()) continue;
      if (Holds(piece->code, word)) score += 4;
      if (Holds(piece->cut, word)) score += 2;
    }
    if (score > best_score) {
      best_score = score;
      best = std::move(*piece);
    }
  }
  return best;
}

std::string SnippetOf(const ledger::Event& event, const Piece& piece) {
  std::string text = event.draft.note;
  const auto add = [&](const std::string& more) {
    if (more.empty()) return;
    if (!text.empty()) text += " · ";
    text += more;
  };
  const ledger::Payload& payload = event.draft.payload;
  if (const auto* tasted = std::get_if<ledger::Tasted>(&payload)) add(tasted->words);
  if (const auto* discarded = std::get_if<ledger::Discarded>(&payload)) add(discarded->reason);
  if (const auto* corrected = std::get_if<ledger::Corrected>(&payload)) add(corrected->reason);
  if (const auto* voided = std::get_if<ledger::Voided>(&payload)) add(voided->reason);
  if (const auto* sold = std::get_if<ledger::Sold>(&payload)) add(sold->to);
  if (text.empty()) {
    add(piece.cut);
    add(piece.supplier);
    add(piece.lot);
  }
  return text;
}

}  // namespace

Result<std::vector<Piece>> SqliteReader::Pieces(const ledger::PieceFilter& filter) {
  RIBWRIGHT_CHECK(filter.limit >= 1 && filter.limit <= 500);
  static const std::string kSql = fmt::format(
      "SELECT {} FROM {} WHERE (?1 IS NULL OR p.state = ?1) AND (?2 IS NULL OR location.name = ?2)"
      " AND (?3 IS NULL OR cut.name = ?3)"
      " AND (?4 = 0 OR p.version < ?4 OR (p.version = ?4 AND p.id < ?5))"
      " ORDER BY p.version DESC, p.id DESC LIMIT ?6",
      kPieceColumns, kPieceTables);
  return In<std::vector<Piece>>([&](Connection& connection) -> Result<std::vector<Piece>> {
    auto statement = connection.Prepare(kSql);
    if (!statement) return Fail(statement.error());
    std::optional<std::string_view> state;
    if (filter.state) state = ledger::StateText(*filter.state);
    const auto view = [](const std::optional<std::string>& text) {
      return text ? std::optional<std::string_view>(*text) : std::nullopt;
    };
    statement->BindOptional(1, state).BindOptional(2, view(filter.location));
    statement->BindOptional(3, view(filter.cut)).Bind(4, filter.before_version);
    statement->Bind(5, filter.before_id.value).Bind(6, std::int64_t{filter.limit});
    std::vector<Piece> pieces;
    for (;;) {
      const auto row = statement->Step();
      if (!row) return Fail(row.error());
      if (!*row) return pieces;
      auto piece = ReadPiece(*statement);
      if (!piece) return Fail(piece.error());
      pieces.push_back(std::move(*piece));
    }
  });
}

Result<std::vector<EventView>> SqliteReader::Events(const ledger::EventFilter& filter) {
  RIBWRIGHT_CHECK(filter.limit >= 1 && filter.limit <= 500);
  const bool one_piece = filter.piece.value != 0;
  const std::string_view sql =
      one_piece ? "SELECT e.number FROM piece_event AS pe JOIN event AS e ON e.number = pe.event"
                  " WHERE pe.piece = ?4 AND (?1 IS NULL OR e.kind = ?1)"
                  " AND (?2 = 0 OR pe.event < ?2) ORDER BY pe.event DESC LIMIT ?3"
      // Rare among all events: an index of their own (migration 0002).
      : filter.kind == ledger::EventKind::kCounted
          ? "SELECT number FROM event INDEXED BY event_counted WHERE kind = 'counted'"
            " AND ?1 IS NOT NULL AND (?2 = 0 OR number < ?2) ORDER BY number DESC LIMIT ?3"
          : "SELECT number FROM event AS e WHERE (?1 IS NULL OR kind = ?1)"
            " AND (?2 = 0 OR number < ?2) ORDER BY number DESC LIMIT ?3";
  return In<std::vector<EventView>>([&](Connection& connection) -> Result<std::vector<EventView>> {
    std::vector<std::int64_t> numbers;
    {
      auto statement = connection.Prepare(sql);
      if (!statement) return Fail(statement.error());
      std::optional<std::string_view> kind;
      if (filter.kind) kind = ledger::KindText(*filter.kind);
      statement->BindOptional(1, kind).Bind(2, filter.before).Bind(3, std::int64_t{filter.limit});
      if (one_piece) statement->Bind(4, filter.piece.value);
      for (;;) {
        const auto row = statement->Step();
        if (!row) return Fail(row.error());
        if (!*row) break;
        numbers.push_back(statement->Int(0));
      }
    }
    std::vector<EventView> events;
    for (const std::int64_t number : numbers) {
      auto view = ViewOf(connection, number);
      if (!view) return Fail(view.error());
      events.push_back(std::move(*view));
    }
    return events;
  });
}

Result<std::vector<ledger::SearchHit>> SqliteReader::Search(std::string_view query, int limit) {
  RIBWRIGHT_CHECK(limit >= 1 && limit <= 500);
  std::vector<ledger::SearchHit> hits;
  const auto code = ledger::CodeFromTyped(query);
  if (code) {
    auto piece = FindCode(*code);
    if (piece) {
      ledger::SearchHit hit;
      hit.event = piece->made_by;
      hit.snippet = piece->cut;
      hit.piece = std::move(*piece);
      hits.push_back(std::move(hit));
    } else if (piece.error().code != Code::kPieceUnknown) {
      return Fail(piece.error());
    }
  }
  const std::string match = MatchOf(query);
  if (match.empty()) return hits;
  const auto found = In<std::vector<ledger::SearchHit>>(
      [&](Connection& connection) -> Result<std::vector<ledger::SearchHit>> {
        std::vector<std::int64_t> numbers;
        {
          auto statement = connection.Prepare(
              "SELECT rowid FROM word WHERE word MATCH ? ORDER BY rowid DESC LIMIT ?");
          if (!statement) return Fail(statement.error());
          statement->Bind(1, std::string_view(match)).Bind(2, std::int64_t{limit});
          for (;;) {
            const auto row = statement->Step();
            if (!row) return Fail(row.error());
            if (!*row) break;
            numbers.push_back(statement->Int(0));
          }
        }
        std::vector<ledger::SearchHit> more;
        for (const std::int64_t number : numbers) {
          auto stored = GetEvent(connection, number);
          if (!stored) return Fail(stored.error());
          std::vector<PieceId> about = ledger::PiecesOf(stored->event.draft.payload);
          const auto kind = ledger::KindOf(stored->event.draft.payload);
          // Only these have words of several pieces; a count may be about thousands.
          const bool makes = kind == ledger::EventKind::kCut || kind == ledger::EventKind::kTrimmed;
          if (!makes && about.size() > 1) about.resize(1);
          const auto piece = BestPiece(connection, number, about, query);
          if (!piece) return Fail(piece.error());
          if (!*piece) continue;
          more.push_back({number, **piece, SnippetOf(stored->event, **piece)});
        }
        return more;
      });
  if (!found) return Fail(found.error());
  for (const ledger::SearchHit& hit : *found) {
    const bool first_again =
        !hits.empty() && hits.front().event == hit.event && hits.front().piece.id == hit.piece.id;
    if (!first_again && hits.size() < static_cast<std::size_t>(limit)) hits.push_back(hit);
  }
  return hits;
}

}  // namespace ribwright::store
