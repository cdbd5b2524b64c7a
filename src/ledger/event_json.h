// SPDX-License-Identifier: Apache-2.0
// Events as JSON: what the database stores (and the chain covers), and what doors send and show.
//
// DataJson writes a payload as one object with sorted keys and no blanks, the same bytes for the
// same payload. Keys are those of docs/format/ledger.md: masses in grams as decimal numbers with at
// most three decimals (mass_g), money {"minor","currency"}, times RFC 3339, days "2026-03-01",
// pieces by number (piece_id). Keys that say nothing are left out.
//
// PayloadFromData reads such an object back, strictly. DraftFromJson reads what a door sends: the
// same keys beside kind, happened_at (left out: `now`), note; `piece` (a code) may stand for
// piece_id, loss_g for one unsaid loss, and happened_at, note are not part of the data. Unknown
// keys, wrong types, masses that are no multiple of a milligram, numbers out of range: error
// kEntryUnusable, with the key in `where`. Codes are turned into numbers by `number_of_code`,
// whose errors are passed on. Thread-safe.
#pragma once

#include <functional>
#include <string>
#include <string_view>

#include "base/result.h"
#include "ledger/event.h"

namespace ribwright::ledger {

std::string DataJson(const Payload& payload);
Result<Payload> PayloadFromData(EventKind kind, std::string_view data);

using NumberOfCode = std::function<Result<PieceId>(std::string_view)>;

// `before` with some of its keys put right: `changes` is a JSON object of those keys, null takes
// one away, and what a draft may shorten (loss_g) may be short here too.
Result<Payload> WithChanges(const Payload& before, std::string_view changes);

// user and key come from elsewhere (the session, a header); both are set in the result.
Result<Draft> DraftFromJson(std::string_view json, units::UtcTime now, std::string user,
                            std::string key, const NumberOfCode& number_of_code);

}  // namespace ribwright::ledger
