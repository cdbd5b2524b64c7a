// SPDX-License-Identifier: Apache-2.0
#include "store/check.h"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "ledger/chain.h"
#include "ledger/replay.h"
#include "store/check_parts.h"
#include "store/event_rows.h"
#include "store/piece_rows.h"

namespace ribwright::store {
namespace {

using ledger::Event;
using ledger::Piece;
using ledger::PieceId;

constexpr std::size_t kMostFaults = 100;

class Checking {
 public:
  explicit Checking(Connection& connection) : connection_(connection) {}

  Result<Checked> Run() {
    for (const auto step :
         {&Checking::Pages, &Checking::Schema, &Checking::ForeignKeys, &Checking::Amendments,
          &Checking::Events, &Checking::AmendedPieces, &Checking::Pieces, &Checking::Lineage,
          &Checking::Histories, &Checking::Faces}) {
      if (const Status done = (this->*step)(); !done) {
        // A damaged shape may be why the rest cannot be read.
        if (!checked_.faults.empty()) break;
        return Fail(done.error());
      }
      // What follows would only repeat what broken pages cause.
      if (!checked_.faults.empty() && step == &Checking::Pages) break;
    }
    return std::move(checked_);
  }

 private:
  void Fault(std::string what, std::string where) {
    if (checked_.faults.size() >= kMostFaults) return;
    checked_.faults.push_back({Code::kStoreDamaged, std::move(what), std::move(where),
                               "Keep this file; restore the last backup that is sound."});
  }

  // Calls `take` for each row.
  template <typename Take>
  Status Each(std::string_view sql, Take take) {
    auto statement = connection_.Prepare(sql);
    if (!statement) return Fail(statement.error());
    for (;;) {
      const auto row = statement->Step();
      if (!row) return Fail(row.error());
      if (!*row) return {};
      if (const Status taken = take(*statement); !taken) return taken;
    }
  }

  Status Pages() {
    return Each("PRAGMA integrity_check(20)", [&](const Statement& row) -> Status {
      if (row.Text(0) != "ok") Fault("The file's pages: " + std::string(row.Text(0)), "file");
      return {};
    });
  }

  Status Schema() {
    return CheckSchema(connection_, [this](std::string what, std::string where) {
      Fault(std::move(what), std::move(where));
    });
  }

  Status ForeignKeys() {
    return Each("PRAGMA foreign_key_check", [&](const Statement& row) -> Status {
      Fault(fmt::format("A row of {} points at nothing in {}.", row.Text(0), row.Text(2)),
            fmt::format("{} row {}", row.Text(0), row.Int(1)));
      return {};
    });
  }

  // All corrections and voidings, since they decide how events before them count.
  Status Amendments() {
    std::vector<std::int64_t> numbers;
    const Status listed =
        Each("SELECT number FROM event WHERE kind IN ('corrected', 'voided') ORDER BY number",
             [&](const Statement& row) -> Status {
               numbers.push_back(row.Int(0));
               return {};
             });
    if (!listed) return listed;
    for (const std::int64_t number : numbers) {
      auto stored = GetEvent(connection_, number);
      if (!stored) {
        Fault(stored.error().message, stored.error().where);
        continue;
      }
      amendments_.push_back(std::move(stored->event));
    }
    std::vector<const Event*> pointers;
    for (const Event& event : amendments_) pointers.push_back(&event);
    replayer_ = ledger::Replayer(ledger::StandingOf(pointers), {});
    return {};
  }

  Status Events() {
    static const std::string kSql =
        fmt::format("SELECT {} FROM {} ORDER BY e.number", kEventColumns, kEventTables);
    ledger::Hash previous;
    std::int64_t expected = 1;
    units::UtcTime written;
    return Each(kSql, [&](const Statement& row) -> Status {
      ++checked_.events;
      const std::int64_t number = row.Int(0);
      const std::string where = fmt::format("event {}", number);
      if (number != expected) Fault(fmt::format("Event {} is not there.", expected), where);
      expected = number + 1;
      const ledger::Hash chained = ledger::ChainHash(previous, {number,
                                                                row.Text(1),
                                                                {row.Int(2)},
                                                                {row.Int(3)},
                                                                row.Text(4),
                                                                row.Text(5),
                                                                row.Text(6),
                                                                row.Text(7)});
      const auto stored = ReadEvent(row);
      if (!stored) {
        Fault(stored.error().message, where);
        return {};
      }
      const Event& event = stored->event;
      if (event.previous != previous || event.hash != chained) {
        Fault("The event does not have the hash that its content and the event before it give.",
              where);
      }
      if (event.written < written) Fault("The event was written before the one before it.", where);
      written = event.written;
      previous = event.hash;
      checked_.last_hash = event.hash;
      const auto kind = ledger::KindOf(event.draft.payload);
      if (kind == ledger::EventKind::kCut || kind == ledger::EventKind::kTrimmed) ++checked_.cuts;
      if (const Status taken = replayer_.Take(event); !taken) {
        Fault("A rule is broken: " + taken.error().message, taken.error().where);
      }
      Expect(event);
      return {};
    });
  }

  // Histories and faces that the event should have left.
  void Expect(const Event& event) {
    std::vector<PieceId> pieces = ledger::PiecesOf(event.draft.payload);
    if (const auto* judged = std::get_if<ledger::Judged>(&event.draft.payload)) {
      judged_.by_event[event.number] = {judged->report, judged->piece};
      if (judged->photo) {
        judged_.by_name[{*judged->photo, judged->face}].insert(judged->report);
      }
    }
    for (const PieceId id : pieces) histories_ += Mixed(id.value, event.number);
    history_rows_ += static_cast<std::int64_t>(pieces.size());
  }

  // A sum of these is the same for the same set of rows and, in practice, for no other.
  static std::uint64_t Mixed(std::int64_t piece, std::int64_t event) {
    std::uint64_t z = static_cast<std::uint64_t>(piece) * 0x9e3779b97f4a7c15ULL ^
                      static_cast<std::uint64_t>(event) * 0xc2b2ae3d27d4eb4fULL;
    z = (z ^ (z >> 30U)) * 0xbf58476d1ce4e5b9ULL;
    z = (z ^ (z >> 27U)) * 0x94d049bb133111ebULL;
    return z ^ (z >> 31U);
  }

  Status Pieces() {
    static const std::string kSql =
        fmt::format("SELECT {} FROM {} ORDER BY p.id", kPieceColumns, kPieceTables);
    auto& derived = replayer_.result().pieces;
    const Status done = Each(kSql, [&](const Statement& row) -> Status {
      ++checked_.pieces;
      auto piece = ReadPiece(row);
      if (!piece) {
        Fault(piece.error().message, piece.error().where);
        return {};
      }
      const auto found = derived.find(piece->id);
      if (found == derived.end()) {
        Fault("No event made this piece.", fmt::format("piece {}", piece->code));
        return {};
      }
      Piece& expected = found->second;
      if (!VersionFits(*piece, expected.version)) {
        Fault("The piece's version is not its last event.", fmt::format("piece {}", piece->code));
      }
      expected.version = piece->version;
      if (*piece != expected) {
        Fault(fmt::format("The piece is not what its events say ({}, {}; by its events {}, {}).",
                          ledger::StateText(piece->state), units::GramsText(piece->mass),
                          ledger::StateText(expected.state), units::GramsText(expected.mass)),
              fmt::format("piece {}", piece->code));
      }
      return {};
    });
    if (done && checked_.pieces != static_cast<std::int64_t>(derived.size())) {
      Fault(
          fmt::format("There are {} pieces; the events made {}.", checked_.pieces, derived.size()),
          "table piece");
    }
    return done;
  }

  Status Lineage() {
    const auto& expected = replayer_.result().lineage;
    std::size_t rows = 0;
    const Status done =
        Each("SELECT parent, child FROM lineage", [&](const Statement& row) -> Status {
          ++rows;
          if (!expected.contains({PieceId{row.Int(0)}, PieceId{row.Int(1)}})) {
            Fault("No cut joins these pieces.",
                  fmt::format("lineage {} to {}", row.Int(0), row.Int(1)));
          }
          return {};
        });
    if (done && rows != expected.size()) {
      Fault(fmt::format("{} pieces have a parent; the cuts gave {}.", rows, expected.size()),
            "table lineage");
    }
    return done;
  }

  // What corrections and voidings leave in the histories of pieces.
  Status AmendedPieces() {
    for (const Event& event : amendments_) {
      std::int64_t number = event.number;
      // The chain of amendments ends at an event about pieces.
      for (;;) {
        const auto stored = GetEvent(connection_, number);
        if (!stored) break;
        const ledger::Payload& payload = stored->event.draft.payload;
        if (const auto* corrected = std::get_if<ledger::Corrected>(&payload)) {
          number = corrected->target;
        } else if (const auto* voided = std::get_if<ledger::Voided>(&payload)) {
          number = voided->target;
        } else {
          for (const PieceId id : ledger::PiecesOf(payload)) {
            histories_ += Mixed(id.value, event.number);
            ++history_rows_;
            amended_[id] = event.number;
          }
          break;
        }
      }
    }
    return {};
  }

  // Its last event, or the last amendment of its family: one of them, and none before those that
  // name the piece.
  bool VersionFits(const Piece& piece, std::int64_t last_event) const {
    const auto amended = amended_.find(piece.id);
    const std::int64_t least =
        amended == amended_.end() ? last_event : std::max(last_event, amended->second);
    if (piece.version == least) return true;
    return piece.version > least &&
           std::any_of(amendments_.begin(), amendments_.end(),
                       [&](const Event& event) { return event.number == piece.version; });
  }

  Status Histories() {
    std::uint64_t sum = 0;
    std::int64_t rows = 0;
    const Status done =
        Each("SELECT piece, event FROM piece_event", [&](const Statement& row) -> Status {
          sum += Mixed(row.Int(0), row.Int(1));
          ++rows;
          return {};
        });
    if (done && (sum != histories_ || rows != history_rows_)) {
      Fault(fmt::format("Histories hold {} rows, not the {} that the events give.", rows,
                        history_rows_),
            "table piece_event");
    }
    return done;
  }

  Status Faces() {
    const TellFault fault = [this](std::string what, std::string where) {
      Fault(std::move(what), std::move(where));
    };
    const auto rows = CheckFaces(connection_, judged_, fault);
    if (!rows) return Fail(rows.error());
    checked_.faces = *rows;
    return CheckJudgings(connection_, judged_, fault);
  }

  Connection& connection_;
  Checked checked_;
  std::vector<Event> amendments_;
  ledger::Replayer replayer_{{}, {}};
  std::map<PieceId, std::int64_t> amended_;  // last amendment that names the piece
  JudgedFaces judged_;
  std::uint64_t histories_ = 0;
  std::int64_t history_rows_ = 0;
};

}  // namespace

Result<Checked> CheckConnection(Connection& connection) { return Checking(connection).Run(); }

Result<Checked> CheckFile(const std::filesystem::path& database) {
  std::error_code ignored;
  if (std::filesystem::file_size(database, ignored) == 0 && !ignored) {
    return Fail(Code::kStoreDamaged, "The database file holds no bytes.", "data folder",
                "Restore the last backup into a new folder (ribwright restore).");
  }
  auto connection = Connection::Open(database, OpenAs::kReadOnly);
  if (!connection) return Fail(connection.error());
  if (const Status begun = connection->Execute("BEGIN"); !begun) return Fail(begun.error());
  return CheckConnection(*connection);
}

}  // namespace ribwright::store
