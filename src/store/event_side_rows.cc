// SPDX-License-Identifier: Apache-2.0
#include "store/event_side_rows.h"

#include <nlohmann/json.hpp>

namespace ribwright::store {

using ledger::Change;
using ledger::Event;
using ledger::PieceId;

Status WritePiecesOf(Connection& connection, std::int64_t event,
                     const std::vector<PieceId>& pieces) {
  for (const PieceId id : pieces) {
    auto row = connection.Prepare("INSERT INTO piece_event (piece, event) VALUES (?, ?)");
    if (!row) return Fail(row.error());
    if (const Status done = row->Bind(1, id.value).Bind(2, event).Run(); !done) return done;
  }
  return {};
}

Status WriteLineage(Connection& connection, const Change& change) {
  for (const auto& [parent, child] : change.lineage) {
    auto row = connection.Prepare("INSERT INTO lineage (parent, child) VALUES (?, ?)");
    if (!row) return Fail(row.error());
    if (const Status done = row->Bind(1, parent.value).Bind(2, child.value).Run(); !done) {
      return done;
    }
  }
  return {};
}

Status ReplaceLineage(Connection& connection, const std::vector<ledger::Piece>& pieces,
                      const Change& change) {
  for (const ledger::Piece& piece : pieces) {
    auto row = connection.Prepare("DELETE FROM lineage WHERE child = ?");
    if (!row) return Fail(row.error());
    if (const Status done = row->Bind(1, piece.id.value).Run(); !done) return done;
  }
  return WriteLineage(connection, change);
}

namespace {

void AddWord(std::string& words, const std::string& text) {
  if (text.empty()) return;
  if (!words.empty()) words += ' ';
  words += text;
}

void AddMade(std::string& words, const std::vector<ledger::NewPiece>& made) {
  const std::string* before = nullptr;
  for (const ledger::NewPiece& piece : made) {
    AddWord(words, piece.code);
    if (before == nullptr || *before != piece.cut) AddWord(words, piece.cut);
    before = &piece.cut;
  }
}

std::string WordsOf(const Event& event) {
  std::string words = event.draft.note;
  const ledger::Payload& payload = event.draft.payload;
  if (const auto* received = std::get_if<ledger::Received>(&payload)) {
    AddMade(words, {received->piece});
    AddWord(words, received->supplier);
    AddWord(words, received->lot);
  } else if (const auto* cut = std::get_if<ledger::Cut>(&payload)) {
    AddMade(words, cut->outputs);
  } else if (const auto* trimmed = std::get_if<ledger::Trimmed>(&payload)) {
    AddMade(words, trimmed->outputs);
  } else if (const auto* tasted = std::get_if<ledger::Tasted>(&payload)) {
    AddWord(words, tasted->words);
  } else if (const auto* discarded = std::get_if<ledger::Discarded>(&payload)) {
    AddWord(words, discarded->reason);
  } else if (const auto* corrected = std::get_if<ledger::Corrected>(&payload)) {
    AddWord(words, corrected->reason);
  } else if (const auto* voided = std::get_if<ledger::Voided>(&payload)) {
    AddWord(words, voided->reason);
  } else if (const auto* sold = std::get_if<ledger::Sold>(&payload)) {
    AddWord(words, sold->to);
  }
  return words;
}

}  // namespace

Status WriteWords(Connection& connection, const Event& event) {
  const std::string words = WordsOf(event);
  if (words.empty()) return {};
  auto row = connection.Prepare("INSERT INTO word (rowid, text) VALUES (?, ?)");
  if (!row) return Fail(row.error());
  return row->Bind(1, event.number).Bind(2, std::string_view(words)).Run();
}

Status WriteReport(Connection& connection, const Event& event) {
  const auto* judged = std::get_if<ledger::Judged>(&event.draft.payload);
  if (judged == nullptr) return {};
  // Checked before it came here; the numbers that lists show are kept apart.
  const auto parsed = nlohmann::json::parse(judged->report_json);
  const nlohmann::json& face = parsed.at("faces").at(0);
  const std::string marbling = face.at("marbling_pct").dump();
  const std::string area = face.at("area").dump();
  auto row = connection.Prepare(
      "INSERT INTO face (event, piece, marbling, area, report) VALUES (?, ?, ?, ?, ?)");
  if (!row) return Fail(row.error());
  row->Bind(1, event.number).Bind(2, judged->piece.value).Bind(3, std::string_view(marbling));
  return row->Bind(4, std::string_view(area)).Bind(5, std::string_view(judged->report_json)).Run();
}

Status WriteAmendment(Connection& connection, const Event& event, std::int64_t target,
                      const std::vector<PieceId>& pieces) {
  auto row = connection.Prepare("INSERT INTO amendment (target, event) VALUES (?, ?)");
  if (!row) return Fail(row.error());
  if (const Status done = row->Bind(1, target).Bind(2, event.number).Run(); !done) return done;
  return WritePiecesOf(connection, event.number, pieces);
}

Status WriteCountLines(Connection& connection, Names& names, const Event& event) {
  const auto* counted = std::get_if<ledger::Counted>(&event.draft.payload);
  if (counted == nullptr) return {};
  for (const ledger::CountLine& line : counted->lines) {
    const auto piece = GetPiece(connection, line.piece);
    if (!piece) return Fail(piece.error());
    const auto location = names.NumberOf(connection, Names::Table::kLocation, piece->location);
    if (!location) return Fail(location.error());
    auto row = connection.Prepare(
        "INSERT INTO count_line (event, piece, ledger_mg, ledger_state, ledger_location,"
        " cost_minor, currency) VALUES (?, ?, ?, ?, ?, ?, ?)");
    if (!row) return Fail(row.error());
    row->Bind(1, event.number).Bind(2, line.piece.value).Bind(3, piece->mass.milligrams());
    row->Bind(4, ledger::StateText(piece->state)).Bind(5, *location);
    if (piece->cost) {
      row->Bind(6, piece->cost->minor).Bind(7, piece->cost->currency.text());
    } else {
      row->BindNull(6).BindNull(7);
    }
    if (const Status done = row->Run(); !done) return done;
  }
  return {};
}

}  // namespace ribwright::store
