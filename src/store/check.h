// SPDX-License-Identifier: Apache-2.0
// Check: whether what a database holds is consistent with itself.
//
// The file's pages and indexes (SQLite's integrity check), foreign keys, the chain of hashes from
// the first event to the last, and everything that is derived: the whole ledger is replayed by the
// rules (ledger/replay.h), which holds every cut to its mass balance, and pieces, lineage,
// histories and reports of faces are compared with what the tables hold. Faults are listed, at most
// a hundred; none means sound. CheckPhotos goes on to the photo folder: every photo, picture and
// layer that the database names must lie there with the bytes of its fingerprint (all are read).
// `last_hash` is worth noting elsewhere: it fixes the whole history.
// Errors: where the file cannot be read at all. Needs memory for all pieces (about 0.5 kB each).
#pragma once

#include <cstdint>
#include <filesystem>
#include <vector>

#include "base/result.h"
#include "ledger/hash.h"
#include "store/sqlite.h"

namespace ribwright::store {

struct Checked {
  std::int64_t events = 0;
  std::int64_t pieces = 0;
  std::int64_t cuts = 0;  // cut and trimmed: balances that were closed again
  std::int64_t faces = 0;
  std::int64_t files = 0;  // of photos, pictures, layers
  ledger::Hash last_hash;
  std::vector<Error> faults;  // kStoreDamaged
};

Result<Checked> CheckFile(const std::filesystem::path& database);
// Adds to `checked` what is wrong under `photos`.
Status CheckPhotos(const std::filesystem::path& database, const std::filesystem::path& photos,
                   Checked& checked);
Result<Checked> CheckConnection(Connection& connection);

}  // namespace ribwright::store
