// SPDX-License-Identifier: Apache-2.0
// Migrations: the database's shape, in numbered steps that are never changed once released.
//
// Each step is one file src/store/migrations/NNNN_name.sql; the build embeds all of them in order
// of number, so a part of the program adds its own tables by adding a file with the next free
// number (the ledger has 0001 to 0099, sign-in and sessions 0100 and up). Tables are STRICT, with
// foreign keys; names carry units (mass_mg, written_ms).
//
// Migrate applies the steps that are missing, all in one transaction, and notes number, name,
// SHA-256 of the text and time in schema_migration. Refused with kStoreMismatch: a step was applied
// that this program does not have (the database is newer), one whose text differs, or one missing
// below another of its hundred that was applied. Before it changes a database that already holds
// steps, it makes a backup beside it (ribwright.before-NNNN-<time>.db).
#pragma once

#include <cstdint>
#include <filesystem>
#include <span>
#include <string_view>
#include <vector>

#include "base/result.h"
#include "store/sqlite.h"
#include "units/utc_time.h"

namespace ribwright::store {

struct Migration {
  int number = 0;
  std::string_view name;
  std::string_view sql;
};

// Those of src/store/migrations, in order.
std::span<const Migration> ShippedMigrations();

// Those of `migrations` that were applied, in order; changes nothing. kStoreMismatch as for
// Migrate.
Result<std::vector<Migration>> AppliedMigrations(Connection& connection,
                                                 std::span<const Migration> migrations);
// The shape that these steps give, in an empty database, for comparison.
Status CreateSchema(Connection& connection, std::span<const Migration> migrations);

struct Migrated {
  int from = 0;  // highest number before, 0: empty database
  int to = 0;
  std::filesystem::path backup;  // empty: none was needed
};
// `database` is the file of `connection`, for the backup's place.
Result<Migrated> Migrate(Connection& connection, const std::filesystem::path& database,
                         std::span<const Migration> migrations, units::UtcTime now);

}  // namespace ribwright::store
