// SPDX-License-Identifier: Apache-2.0
#include "store/event_writer.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "base/check.h"
#include "ledger/chain.h"
#include "ledger/count_check.h"
#include "ledger/draft_check.h"
#include "ledger/event_json.h"
#include "ledger/piece_code.h"
#include "report/json.h"
#include "store/amending.h"
#include "store/event_side_rows.h"

namespace ribwright::store {
namespace {

using ledger::Draft;
using ledger::Event;
using ledger::NewPiece;
using ledger::Payload;
using ledger::PieceId;

constexpr units::UtcTime kYear2000{946'684'800'000};

std::vector<NewPiece*> NewPiecesOf(Payload& payload) {
  std::vector<NewPiece*> made;
  const auto add = [&](std::vector<NewPiece>& pieces) {
    for (NewPiece& piece : pieces) made.push_back(&piece);
  };
  if (auto* received = std::get_if<ledger::Received>(&payload)) made.push_back(&received->piece);
  if (auto* cut = std::get_if<ledger::Cut>(&payload)) add(cut->outputs);
  if (auto* trimmed = std::get_if<ledger::Trimmed>(&payload)) add(trimmed->outputs);
  return made;
}

Result<bool> CodeTaken(Connection& connection, std::string_view code) {
  auto statement = connection.Prepare("SELECT 1 FROM piece WHERE code = ?");
  if (!statement) return Fail(statement.error());
  return statement->Bind(1, code).Step();
}

// The report is checked, and named by its hash, before it is chained.
Status SealReport(Payload& payload) {
  auto* judged = std::get_if<ledger::Judged>(&payload);
  if (judged == nullptr) return {};
  constexpr std::size_t kLongestReport = 8'000'000;  // assumed: a hundred times the usual one
  if (judged->report_json.size() > kLongestReport) {
    return Fail(Code::kReportUnusable, "The report is longer than 8 MB.", "report",
                "Judge the photo again.");
  }
  const auto report = report::FromJson(judged->report_json);
  if (!report) return Fail(report.error());
  if (report->error || report->faces.empty()) {
    return Fail(Code::kReportUnusable, "The report holds no judged face.", "report",
                "Give a report of a photo that could be judged.");
  }
  if (judged->method.empty()) judged->method = report->method.name;
  if (judged->revision.empty()) judged->revision = report->method.revision;
  judged->report = ledger::HashOf(judged->report_json);
  return {};
}

// A whole count names what it did not find, too.
Status AddUnfound(Connection& connection, Payload& payload) {
  auto* counted = std::get_if<ledger::Counted>(&payload);
  if (counted == nullptr || !counted->whole) return {};
  std::set<PieceId> listed;
  for (const ledger::CountLine& line : counted->lines) listed.insert(line.piece);
  auto statement = connection.Prepare(
      "SELECT p.id FROM piece AS p JOIN location ON location.id = p.location"
      " WHERE location.name = ? AND p.state IN ('in_stock', 'ageing') ORDER BY p.id");
  if (!statement) return Fail(statement.error());
  statement->Bind(1, std::string_view(counted->location));
  for (;;) {
    const auto row = statement->Step();
    if (!row) return Fail(row.error());
    if (!*row) return {};
    const PieceId id{statement->Int(0)};
    if (!listed.contains(id)) counted->lines.push_back({id, std::nullopt, "not on the list"});
  }
}

}  // namespace

bool AsksForTheSame(const Draft& draft, const StoredEvent& stored) {
  const Event& event = stored.event;
  if (ledger::KindOf(draft.payload) != ledger::KindOf(event.draft.payload) ||
      draft.user != event.draft.user || draft.note != event.draft.note) {
    return false;
  }
  Payload asked = draft.payload;
  Payload written = event.draft.payload;
  const std::vector<NewPiece*> asked_new = NewPiecesOf(asked);
  const std::vector<NewPiece*> written_new = NewPiecesOf(written);
  if (asked_new.size() != written_new.size()) return false;
  for (std::size_t i = 0; i < asked_new.size(); ++i) {
    asked_new[i]->id = written_new[i]->id;
    if (asked_new[i]->code.empty()) asked_new[i]->code = written_new[i]->code;
  }
  if (!SealReport(asked)) return false;
  if (auto* counted = std::get_if<ledger::Counted>(&asked); counted != nullptr && counted->whole) {
    const auto& lines = std::get<ledger::Counted>(written).lines;
    for (std::size_t i = counted->lines.size(); i < lines.size(); ++i) {
      counted->lines.push_back(lines[i]);
    }
  }
  if (auto* corrected = std::get_if<ledger::Corrected>(&asked);
      corrected != nullptr && !corrected->instead) {
    // Putting the same keys right again changes nothing.
    const auto& before = *std::get<ledger::Corrected>(written).instead;
    auto again = ledger::WithChanges(before, corrected->changes);
    if (!again) return false;
    corrected->instead = std::make_shared<const Payload>(std::move(*again));
  }
  return ledger::DataJson(asked) == stored.data;
}

void EventWriter::Begin() { head_.reset(); }

void EventWriter::Undone() {
  head_.reset();
  names_.Forget();
}

Status EventWriter::ReadHead(Connection& connection) {
  if (head_) return {};
  Head head;
  {
    auto statement = connection.Prepare(
        "SELECT number, hash, written_ms FROM event ORDER BY number DESC LIMIT 1");
    if (!statement) return Fail(statement.error());
    const auto row = statement->Step();
    if (!row) return Fail(row.error());
    if (*row) {
      head.number = statement->Int(0);
      const auto hash = statement->Blob(1);
      RIBWRIGHT_CHECK(hash.size() == head.hash.bytes.size());
      std::copy(hash.begin(), hash.end(), head.hash.bytes.begin());
      head.written = {statement->Int(2)};
    }
  }
  auto statement = connection.Prepare("SELECT max(id) FROM piece");
  if (!statement) return Fail(statement.error());
  const auto row = statement->Step();
  if (!row) return Fail(row.error());
  head.piece = statement->Int(0);
  head_ = head;
  return {};
}

Status EventWriter::CheckClock(const Draft& draft, units::UtcTime now) const {
  if (now < head_->written - ledger::kClockTolerance) {
    return Fail(Code::kClockSkew,
                fmt::format("The ledger's clock says {}, but the last event was written at {}.",
                            units::TimeText(now), units::TimeText(head_->written)),
                "clock", "Set the clock of the machine that keeps the ledger.");
  }
  if (draft.happened > now + ledger::kClockTolerance || draft.happened < kYear2000) {
    return Fail(Code::kClockSkew,
                fmt::format("This would have happened at {}; the ledger's clock says {}.",
                            draft.happened.ms >= 0 ? units::TimeText(draft.happened) : "no time",
                            units::TimeText(now)),
                "happened_at", "Set the clock of the device, or give the right time.");
  }
  return {};
}

Status EventWriter::NameNewPieces(Connection& connection, Payload& payload,
                                  std::int64_t& last) const {
  for (NewPiece* piece : NewPiecesOf(payload)) {
    piece->id = {++last};
    if (!piece->code.empty()) {
      const auto taken = CodeTaken(connection, piece->code);
      if (!taken) return Fail(taken.error());
      if (*taken) {
        return Fail(Code::kPieceCodeTaken, "Another piece has this code.", piece->code,
                    "Give another code, or leave it out.");
      }
      continue;
    }
    // A house's own code may look like a made one; such numbers are passed over.
    for (;; piece->id = {++last}) {
      piece->code = ledger::MadeCode(piece->id);
      const auto taken = CodeTaken(connection, piece->code);
      if (!taken) return Fail(taken.error());
      if (!*taken) break;
    }
  }
  return {};
}

Result<ledger::Change> EventWriter::ChangeOf(Connection& connection, const Event& event) {
  for (const PieceId id : ledger::PiecesOf(event.draft.payload)) {
    if (id.value > head_->piece) continue;  // made by this event
    auto piece = FindPiece(connection, id);
    if (!piece) return Fail(piece.error());
    if (*piece) before_.emplace(id, std::move(**piece));
  }
  const auto before = [&](PieceId id) -> const ledger::Piece* {
    const auto found = before_.find(id);
    return found == before_.end() ? nullptr : &found->second;
  };
  if (const auto* counted = std::get_if<ledger::Counted>(&event.draft.payload)) {
    const Status fine = ledger::CheckCount(*counted, event.draft.happened, before);
    if (!fine) return Fail(fine.error());
  }
  return ledger::Apply(event, before);
}

Status EventWriter::Write(Connection& connection, const Event& event, const std::string& data,
                          const ledger::Change& change) {
  if (const Status done = InsertEvent(connection, names_, event, data); !done) return done;
  if (const Status done = WriteCountLines(connection, names_, event); !done) return done;
  for (const ledger::Piece& piece : change.pieces) {
    const auto before = before_.find(piece.id);
    const Status done = piece.made_by == event.number ? InsertPiece(connection, names_, piece)
                        : before != before_.end()
                            ? UpdatePiece(connection, names_, before->second, piece)
                            : UpdatePiece(connection, names_, piece);
    if (!done) return done;
  }
  if (const Status done = WriteWords(connection, event); !done) return done;
  return WriteReport(connection, event);
}

Result<ledger::Receipt> EventWriter::Repeat(Connection& connection, const Draft& draft,
                                            const StoredEvent& stored) {
  if (!AsksForTheSame(draft, stored)) {
    return Fail(Code::kKeyReused,
                fmt::format("This key was used for event {}, which says something else.",
                            stored.event.number),
                "key", "Make a new key for each thing that is sent.");
  }
  ledger::Receipt receipt;
  receipt.event = stored.event;
  receipt.repeated = true;
  for (const PieceId id : ledger::PiecesOf(stored.event.draft.payload)) {
    auto piece = GetPiece(connection, id);
    if (!piece) return Fail(piece.error());
    receipt.pieces.push_back(std::move(*piece));
  }
  return receipt;
}

Result<ledger::Receipt> EventWriter::Append(Connection& connection, Draft draft,
                                            units::UtcTime now) {
  if (const Status fine = ledger::CheckDraft(draft); !fine) return Fail(fine.error());
  const auto repeated = FindEventByKey(connection, draft.key);
  if (!repeated) return Fail(repeated.error());
  if (*repeated) return Repeat(connection, draft, **repeated);
  if (const Status read = ReadHead(connection); !read) return Fail(read.error());
  if (const Status fine = CheckClock(draft, now); !fine) return Fail(fine.error());

  Event event;
  event.number = head_->number + 1;
  event.written = std::max(now, head_->written);
  event.previous = head_->hash;
  event.draft = std::move(draft);
  std::int64_t last_piece = head_->piece;
  if (const Status done = AddUnfound(connection, event.draft.payload); !done) {
    return Fail(done.error());
  }
  if (const Status done = SealReport(event.draft.payload); !done) return Fail(done.error());
  if (const Status done = NameNewPieces(connection, event.draft.payload, last_piece); !done) {
    return Fail(done.error());
  }
  const auto amendment = PrepareAmendment(connection, event);
  if (!amendment) return Fail(amendment.error());
  before_.clear();
  auto change =
      *amendment ? ChangeByAmendment(connection, event, **amendment) : ChangeOf(connection, event);
  if (!change) return Fail(change.error());

  const std::string data = ledger::DataJson(event.draft.payload);
  event.hash = ledger::ChainHash(
      event.previous,
      {event.number, ledger::KindText(ledger::KindOf(event.draft.payload)), event.draft.happened,
       event.written, event.draft.user, event.draft.key, event.draft.note, data});
  if (const Status done = Write(connection, event, data, *change); !done) {
    return Fail(done.error());
  }
  const Status beside =
      *amendment ? WriteAmendment(connection, event, (*amendment)->target, (*amendment)->pieces)
                 : WritePiecesOf(connection, event.number, ledger::PiecesOf(event.draft.payload));
  if (!beside) return Fail(beside.error());
  const Status linked = *amendment ? ReplaceLineage(connection, change->pieces, *change)
                                   : WriteLineage(connection, *change);
  if (!linked) return Fail(linked.error());
  head_ = Head{event.number, event.hash, event.written, last_piece};

  ledger::Receipt receipt;
  receipt.event = std::move(event);
  receipt.pieces = std::move(change->pieces);
  return receipt;
}

}  // namespace ribwright::store
