// SPDX-License-Identifier: Apache-2.0
// The chain: each event's hash covers the event and the hash before it, so that a change, a gap or
// an exchange in what was written is noticed.
//
//   hash = SHA-256(previous || fields), fields = for each of: "ribwright.event/1", number, kind,
//          happened (ms), written (ms), user, key, note, data (the JSON of event_json.h as stored)
//          its length in bytes as decimal digits, ':', its bytes, ','
//
// Numbers are decimal text. `previous` is 32 bytes, zeros for the first event. A chain proves
// order and wholeness against slips and partial edits; who can rewrite the whole database can
// rewrite the whole chain, unless its last hash was noted elsewhere (`ribwright check-db` prints
// it). Thread-safe.
#pragma once

#include <cstdint>
#include <string_view>

#include "ledger/hash.h"
#include "units/utc_time.h"

namespace ribwright::ledger {

// What is chained, as it is stored.
struct Link {
  std::int64_t number = 0;
  std::string_view kind;
  units::UtcTime happened;
  units::UtcTime written;
  std::string_view user;
  std::string_view key;
  std::string_view note;
  std::string_view data;
};

Hash ChainHash(const Hash& previous, const Link& link);

}  // namespace ribwright::ledger
