// SPDX-License-Identifier: Apache-2.0
// The ports: what the ledger needs of a store. store/ has them over SQLite; another engine fits
// behind them too.
//
// Threads: every method of both may be called from any thread at once. Writing blocks until the
// events are on the disk; events of many callers share one commit. Reading never waits for
// writing and sees whole commits only. Errors of all: kStoreUnusable, kStoreBusy; of writing also
// kStoreFull, after which nothing of that event is there.
//
// The ledger's clock is passed in when the store is opened. An event must not have happened more
// than kClockTolerance after the ledger's now, nor before 2000 (kClockSkew).
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "base/result.h"
#include "ledger/event.h"
#include "ledger/piece.h"
#include "ledger/stock.h"
#include "units/measured.h"

namespace ribwright::ledger {

struct Receipt {
  Event event;
  std::vector<Piece> pieces;  // every piece made or changed, after the event
  bool repeated = false;      // the key was seen before; this is what was written then, with the
                              // pieces as they are now
};

enum class Together {
  kEachAlone,  // each draft is written or refused by itself
  kAllOrNone,  // the first that is refused refuses all; every result then carries its error
};

class Writer {
 public:
  virtual ~Writer() = default;
  // One result a draft, in order; later drafts see what earlier ones did.
  virtual std::vector<Result<Receipt>> Append(std::vector<Draft> drafts, Together together) = 0;
  // mass none takes the level away.
  virtual Status SetPar(const std::string& cut, const std::string& location,
                        std::optional<units::Mass> mass, const std::string& user) = 0;

  Result<Receipt> Append(Draft draft);
};

// An event as it stands now.
struct EventView {
  Event event;
  std::string data;                 // JSON of the payload, event_json.h
  std::int64_t voided_by = 0;       // number of the event that voids it, 0: stands
  std::int64_t corrected_by = 0;    // number of the event that says it better
  std::optional<Payload> says_now;  // that payload
};

struct FaceLine {
  std::int64_t event = 0;  // the judged event
  PieceId piece;
  Judged judged;  // without the report
  units::UtcTime happened;
  std::optional<Measured> marbling_pct;  // of the report's first face
  std::optional<Measured> area;
};

struct PiecePage {
  Piece piece;
  std::vector<Piece> made_from;
  std::vector<Piece> made_into;
  std::vector<EventView> events;  // oldest first
  std::vector<FaceLine> faces;    // oldest first
};

struct TraceStep {
  Piece piece;
  int steps = 0;  // cuts between
};
struct Trace {
  Piece piece;
  std::vector<TraceStep> up;    // what it was cut from, nearest first
  std::vector<TraceStep> down;  // what was cut from it, nearest first
  std::vector<Piece> siblings;  // everything else that came from the same first pieces
  std::vector<std::pair<PieceId, PieceId>> lineage;  // parent, child among all of these
};

struct PieceFilter {
  std::optional<PieceState> state;
  std::optional<std::string> location;
  std::optional<std::string> cut;
  // Pages: those after (version, id) in the order of last changed first; 0: from the first.
  std::int64_t before_version = 0;
  PieceId before_id;
  int limit = 50;  // 1 to 500
};

struct EventFilter {
  PieceId piece;  // none: all
  std::optional<EventKind> kind;
  std::int64_t before = 0;  // newest first, numbers below this; 0: from the newest
  int limit = 50;           // 1 to 500
};

struct SearchHit {
  std::int64_t event = 0;  // whose text matches
  Piece piece;             // the piece it is about, or the one it made that matches
  std::string snippet;
};

class Reader {
 public:
  virtual ~Reader() = default;
  virtual Result<Piece> Find(PieceId id) = 0;                                // kPieceUnknown
  virtual Result<Piece> FindCode(std::string_view typed) = 0;                // kPieceUnknown
  virtual Result<PiecePage> Page(PieceId id) = 0;                            // kPieceUnknown
  virtual Result<Trace> TraceOf(PieceId id) = 0;                             // kPieceUnknown
  virtual Result<std::vector<Piece>> Pieces(const PieceFilter& filter) = 0;  // last changed first
  virtual Result<std::vector<EventView>> Events(const EventFilter&) = 0;
  virtual Result<EventView> EventByNumber(std::int64_t number) = 0;     // kEntryUnknown
  virtual Result<std::string> FaceJson(std::int64_t judged_event) = 0;  // kEntryUnknown
  // location none: everywhere.
  virtual Result<std::vector<StockLine>> Stock(const std::optional<std::string>& location) = 0;
  virtual Result<std::vector<Par>> Pars() = 0;
  virtual Result<StockCount> Count(std::int64_t counted_event) = 0;  // kEntryUnknown
  // Words of a query must all be there; the last may be a beginning. Newest first.
  virtual Result<std::vector<SearchHit>> Search(std::string_view query, int limit) = 0;
};

}  // namespace ribwright::ledger
