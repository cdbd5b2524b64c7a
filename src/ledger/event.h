// SPDX-License-Identifier: Apache-2.0
// Events: all that can happen to pieces. They are only ever added; a mistake is put right by
// another event (corrected, voided), and what pieces look like now is derived (apply.h).
//
// A Draft is what a door hands in; the ledger gives it a number, the time of writing, the numbers
// and codes of new pieces, and chains it by hash: then it is an Event. Texts are UTF-8 without
// control characters (a note may have line breaks); their limits are in draft_check.h. JSON of
// both: event_json.h. Plain data, thread-safe.
#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "ledger/hash.h"
#include "ledger/piece.h"
#include "units/mass.h"
#include "units/money.h"
#include "units/utc_time.h"

namespace ribwright::ledger {

enum class EventKind {
  kReceived,
  kWeighed,
  kPhotographed,
  kJudged,
  kMoved,
  kCut,
  kTrimmed,
  kAged,
  kCooked,
  kServed,
  kSold,
  kDiscarded,
  kTasted,
  kCorrected,
  kVoided,
  kCounted,
};
std::string_view KindText(EventKind kind);  // "received", "weighed", …
std::optional<EventKind> KindFromText(std::string_view text);

// A piece that an event makes. In a Draft `id` is none and an empty code asks for a made one.
struct NewPiece {
  PieceId id;
  std::string code;
  std::string cut;
  units::Mass mass;
  std::string location;  // empty: where the piece it came from is
  friend bool operator==(const NewPiece&, const NewPiece&) = default;
};

enum class LossKind { kKerf, kTrim, kBone, kPurge, kDrying, kUnsaid };
std::string_view LossText(LossKind kind);  // "kerf", "trim", "bone", "purge", "drying", "unsaid"
std::optional<LossKind> LossFromText(std::string_view text);
struct Loss {
  LossKind kind = LossKind::kUnsaid;
  units::Mass mass;
  friend bool operator==(const Loss&, const Loss&) = default;
};

// The scale's division, or the tolerance itself; neither: mass_balance.h says what is assumed.
struct ScaleNote {
  std::optional<units::Mass> division;
  std::optional<units::Mass> tolerance;
  friend bool operator==(const ScaleNote&, const ScaleNote&) = default;
};

struct Received {
  NewPiece piece;
  MassBasis basis = MassBasis::kStated;  // kStated (invoice, label) or kWeighed
  std::optional<units::Money> cost;
  std::string supplier;
  std::string lot;
  std::optional<units::Day> slaughtered;
};
struct Weighed {
  PieceId piece;
  units::Mass mass;
  ScaleNote scale;
};
struct Photographed {
  PieceId piece;
  Hash photo;         // of the file's bytes
  std::string media;  // "image/jpeg", …
  std::int64_t bytes = 0;
};
// The report (schema ribwright.face/1) travels beside the event: the event holds its hash, so the
// chain covers it; `report_json` is empty in events that are read back (Reader::FaceJson).
struct Judged {
  PieceId piece;
  std::optional<Hash> photo;
  std::string face;  // the caller's own name of the judged face; may be empty
  std::string method;
  std::string revision;
  Hash report;
  std::string report_json;
};
struct Moved {
  PieceId piece;
  std::string location;
};
// All inputs end; the outputs are new. Outputs + losses = inputs within the scale's tolerance.
struct Cut {
  std::vector<PieceId> pieces;
  std::vector<NewPiece> outputs;
  std::vector<Loss> losses;
  ScaleNote scale;
};
// The piece goes on with `mass`; outputs (trim worth keeping) are new.
struct Trimmed {
  PieceId piece;
  units::Mass mass;
  std::vector<NewPiece> outputs;
  std::vector<Loss> losses;
  ScaleNote scale;
};
struct Aged {
  PieceId piece;
  bool started = true;   // false: taken out
  std::string location;  // the room or its place; empty: unchanged
};
struct Cooked {
  PieceId piece;
  std::optional<units::Mass> mass;  // after
  std::string doneness;
};
// Served, sold, discarded: the whole piece, or `part` of it, and the rest stays.
struct Served {
  PieceId piece;
  std::optional<units::Mass> part;
  std::string place;  // table, ticket
};
struct Sold {
  PieceId piece;
  std::optional<units::Mass> part;
  units::Money price;
  std::string to;
};
struct Discarded {
  PieceId piece;
  std::optional<units::Mass> part;
  std::string reason;
};
struct Tasted {
  PieceId piece;
  std::string words;
  std::optional<double> score;  // 0 to 100
};
struct CountLine {
  PieceId piece;
  std::optional<units::Mass> found;  // none: not found
  std::string reason;
  friend bool operator==(const CountLine&, const CountLine&) = default;
};
// `whole`: every piece of the place was looked for; the ledger adds a line for each that the list
// leaves out, as not found.
struct Counted {
  std::string location;
  bool whole = false;
  std::vector<CountLine> lines;
};

struct Corrected;
struct Voided {
  std::int64_t target = 0;  // number of the event that did not happen
  std::string reason;
};

using Payload = std::variant<Received, Weighed, Photographed, Judged, Moved, Cut, Trimmed, Aged,
                             Cooked, Served, Sold, Discarded, Tasted, Corrected, Voided, Counted>;

// The event `target` should have said `instead` (of the same kind, about the same pieces; outputs
// keep their order, number and codes). A Draft may give `changes` in its place: a JSON object with
// the keys of event_json.h that are put right; the ledger fills in the rest.
struct Corrected {
  std::int64_t target = 0;
  std::shared_ptr<const Payload> instead;
  std::string changes;
  std::string reason;
};

EventKind KindOf(const Payload& payload);
// Pieces that the event is about: inputs first, then those it made. Corrected and voided: none.
std::vector<PieceId> PiecesOf(const Payload& payload);

struct Draft {
  Payload payload;
  units::UtcTime happened;
  std::string user;  // who did it; never empty
  std::string key;   // idempotency: the same key and content give the first answer. Never empty
  std::string note;
};

struct Event {
  std::int64_t number = 0;  // 1, 2, 3, … without gaps
  units::UtcTime written;   // never falls from one event to the next
  Draft draft;              // with numbers and codes of new pieces filled in
  Hash previous;            // of event number - 1; zeros for the first
  Hash hash;                // chain.h
};

}  // namespace ribwright::ledger
