// SPDX-License-Identifier: Apache-2.0
#include "store/migrations.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "ledger/hash.h"
#include "store/backup.h"

namespace ribwright::store {
namespace {

struct Applied {
  std::string name;
  std::string checksum;
};

Status MakeTable(Connection& connection) {
  return connection.Execute(
      "CREATE TABLE IF NOT EXISTS schema_migration (number INTEGER PRIMARY KEY, name TEXT NOT NULL,"
      " checksum TEXT NOT NULL, applied_ms INTEGER NOT NULL) STRICT");
}

Result<std::map<int, Applied>> ReadApplied(Connection& connection) {
  auto rows =
      connection.Prepare("SELECT number, name, checksum FROM schema_migration ORDER BY number");
  if (!rows) return Fail(rows.error());
  std::map<int, Applied> applied;
  for (;;) {
    const auto row = rows->Step();
    if (!row) return Fail(row.error());
    if (!*row) return applied;
    applied[static_cast<int>(rows->Int(0))] = {std::string(rows->Text(1)),
                                               std::string(rows->Text(2))};
  }
}

tl::unexpected<Error> Mismatch(const std::string& what, const char* mend) {
  return Fail(Code::kStoreMismatch, what, "data folder", mend);
}

// The steps that are missing.
Result<std::vector<Migration>> Missing(const std::map<int, Applied>& applied,
                                       std::span<const Migration> migrations) {
  for (const auto& [number, step] : applied) {
    const auto ours = std::find_if(migrations.begin(), migrations.end(),
                                   [&](const Migration& m) { return m.number == number; });
    if (ours == migrations.end()) {
      return Mismatch(fmt::format("The database holds step {} ({}), which this program does not "
                                  "know.",
                                  number, step.name),
                      "Use the newer version of the program that made it.");
    }
    if (ledger::HashText(ledger::HashOf(ours->sql)) != step.checksum) {
      return Mismatch(fmt::format("Step {} ({}) of the database is not this program's step {}.",
                                  number, step.name, ours->name),
                      "Use the version of the program that made it.");
    }
  }
  std::vector<Migration> missing;
  for (const Migration& migration : migrations) {
    if (applied.contains(migration.number)) continue;
    // Each part of the program has its hundred of numbers and adds at its end.
    const auto later = applied.upper_bound(migration.number);
    if (later != applied.end() && later->first / 100 == migration.number / 100) {
      return Mismatch(fmt::format("Step {} ({}) is missing below step {}.", migration.number,
                                  migration.name, later->first),
                      "Use the version of the program that made it.");
    }
    missing.push_back(migration);
  }
  return missing;
}

Status ApplyAll(Connection& connection, std::span<const Migration> missing, units::UtcTime now) {
  for (const Migration& migration : missing) {
    if (const Status done = connection.Execute(std::string(migration.sql).c_str()); !done) {
      Error error = done.error();
      error.where = fmt::format("migration {} ({})", migration.number, migration.name);
      return Fail(error);
    }
    auto note = connection.Prepare(
        "INSERT INTO schema_migration (number, name, checksum, applied_ms) VALUES (?, ?, ?, ?)");
    if (!note) return Fail(note.error());
    const std::string checksum = ledger::HashText(ledger::HashOf(migration.sql));
    note->Bind(1, std::int64_t{migration.number}).Bind(2, migration.name).Bind(3, checksum);
    if (const Status done = note->Bind(4, now.ms).Run(); !done) return done;
  }
  return {};
}

}  // namespace

Result<std::vector<Migration>> AppliedMigrations(Connection& connection,
                                                 std::span<const Migration> migrations) {
  const auto applied = ReadApplied(connection);
  if (!applied) return Fail(applied.error());
  const auto missing = Missing(*applied, migrations);
  if (!missing) return Fail(missing.error());
  std::vector<Migration> there;
  for (const Migration& migration : migrations) {
    if (applied->contains(migration.number)) there.push_back(migration);
  }
  return there;
}

Status CreateSchema(Connection& connection, std::span<const Migration> migrations) {
  if (const Status made = MakeTable(connection); !made) return made;
  return ApplyAll(connection, migrations, {});
}

Result<Migrated> Migrate(Connection& connection, const std::filesystem::path& database,
                         std::span<const Migration> migrations, units::UtcTime now) {
  // The lock is taken before looking, so that two programs do not both migrate.
  if (const Status begun = connection.Execute("BEGIN IMMEDIATE"); !begun) {
    return Fail(begun.error());
  }
  const auto give_up = [&](const Error& error) {
    (void)connection.Execute("ROLLBACK");
    return Fail(error);
  };
  if (const Status made = MakeTable(connection); !made) return give_up(made.error());
  const auto applied = ReadApplied(connection);
  if (!applied) return give_up(applied.error());
  const auto missing = Missing(*applied, migrations);
  if (!missing) return give_up(missing.error());
  Migrated result;
  result.from = applied->empty() ? 0 : applied->rbegin()->first;
  result.to = missing->empty() ? result.from : std::max(result.from, missing->back().number);
  if (!missing->empty() && result.from > 0) {
    std::string when = units::TimeText(now);
    std::erase_if(when, [](char c) { return c == ':' || c == '-' || c == '.'; });
    result.backup =
        database.parent_path() / fmt::format("{}.before-{:04}-{}.db", database.stem().string(),
                                             missing->front().number, when);
    // A second connection reads the state before this transaction.
    if (const Status kept = BackUpFile(database, result.backup); !kept) {
      return give_up(kept.error());
    }
  }
  if (const Status done = ApplyAll(connection, *missing, now); !done) return give_up(done.error());
  if (const Status done = connection.Execute("COMMIT"); !done) return give_up(done.error());
  return result;
}

}  // namespace ribwright::store
