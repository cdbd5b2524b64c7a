// SPDX-License-Identifier: Apache-2.0
// Store: the house's database in its data folder, with one writing connection and a few
// reading ones.
//
// DIR/ribwright.db is SQLite in WAL mode with full durability; DIR/photos holds photos by hash,
// DIR/backup the backups. Open makes what is missing and migrates (migrations.h).
//
// Writing: Write hands over a task and waits. One caller at a time takes all tasks that wait, runs
// each inside its own savepoint of one transaction and commits once, so that many writers share one
// flush of the disk (group commit); each caller returns after that flush, and its task may have run
// in another caller's thread. A task that fails is rolled back alone; if the commit fails (disk
// full), every task of the group is told so and nothing of it is there. Tasks must be quick, must
// touch nothing but the connection and what they own, and must not call Write. The server's own
// tables (users, sessions) are written through Write too, and read through Read.
//
// Reading: Read borrows one of the read-only connections, inside a transaction, so all it reads is
// of one commit. It never waits for the writer; it waits where all connections are borrowed.
//
// Two programs on one folder are allowed (a command beside the server): SQLite's lock keeps them in
// turn. Thread-safe.
#pragma once

#include <filesystem>
#include <functional>
#include <memory>

#include "base/result.h"
#include "ledger/photo_store.h"
#include "ledger/port.h"
#include "store/sqlite.h"
#include "units/utc_time.h"

namespace ribwright::store {

using Clock = std::function<units::UtcTime()>;
units::UtcTime SystemNow();

struct StoreOptions {
  Clock clock = SystemNow;
  int readers = 4;
  std::int64_t max_pages = 0;  // above 0: the database refuses to grow beyond (tests)
};

class Store {
 public:
  static Result<std::unique_ptr<Store>> Open(const std::filesystem::path& folder,
                                             StoreOptions options = {});
  virtual ~Store() = default;

  virtual ledger::Writer& writer() = 0;
  virtual ledger::Reader& reader() = 0;
  virtual ledger::PhotoStore& photos() = 0;
  virtual const std::filesystem::path& folder() const = 0;

  using Task = std::function<Status(Connection&)>;
  virtual Status Write(Task task) = 0;
  virtual Status Read(const std::function<Status(Connection&)>& task) = 0;

  // Takes part in the group commits: how many there were, for benches.
  virtual std::int64_t commits() const = 0;
};

}  // namespace ribwright::store
