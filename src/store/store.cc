// SPDX-License-Identifier: Apache-2.0
#include "store/store.h"

#include <fmt/format.h>
#include <sqlite3.h>
#include <unistd.h>

#include <chrono>
#include <condition_variable>
#include <mutex>
#include <utility>

#include "base/check.h"
#include "ledger/text_check.h"
#include "store/event_writer.h"
#include "store/migrations.h"
#include "store/open_house.h"
#include "store/photo_folder.h"
#include "store/sqlite_reader.h"
#include "store/write_queue.h"

namespace ribwright::store {
namespace {

// Connections that are lent to one reader at a time.
class ReaderPool {
 public:
  explicit ReaderPool(std::vector<Connection> connections) : free_(std::move(connections)) {}

  // No call may be running.
  void Close() { free_.clear(); }

  Status With(const std::function<Status(Connection&)>& task) {
    Lent lent(*this);
    if (const Status begun = Do(lent.connection, "BEGIN"); !begun) return begun;
    Status done;
    try {
      done = task(lent.connection);
    } catch (...) {
      (void)Do(lent.connection, "ROLLBACK");
      throw;
    }
    const Status ended = Do(lent.connection, "ROLLBACK");
    return done ? ended : done;
  }

 private:
  struct Lent {
    explicit Lent(ReaderPool& from) : pool(from), connection(from.Take()) {}
    ~Lent() { pool.Give(std::move(connection)); }
    Lent(const Lent&) = delete;
    Lent& operator=(const Lent&) = delete;
    ReaderPool& pool;
    Connection connection;
  };
  static Status Do(Connection& connection, std::string_view sql) {
    auto statement = connection.Prepare(sql);
    if (!statement) return Fail(statement.error());
    return statement->Run();
  }
  Connection Take() {
    std::unique_lock lock(mutex_);
    given_back_.wait(lock, [&] { return !free_.empty(); });
    Connection connection = std::move(free_.back());
    free_.pop_back();
    return connection;
  }
  void Give(Connection connection) {
    {
      const std::lock_guard lock(mutex_);
      free_.push_back(std::move(connection));
    }
    given_back_.notify_one();
  }
  std::mutex mutex_;
  std::condition_variable given_back_;
  std::vector<Connection> free_;
};

// Trouble of the database, not a refusal by the rules: the task must be rolled back.
bool IsTrouble(const Error& error) {
  return error.code == Code::kStoreFull || error.code == Code::kStoreBusy ||
         error.code == Code::kStoreUnusable || error.code == Code::kStoreDamaged;
}

class SqliteStore final : public Store, public ledger::Writer {
 public:
  SqliteStore(std::filesystem::path folder, Clock clock, Connection writing,
              std::vector<Connection> reading)
      : folder_(std::move(folder)),
        clock_(std::move(clock)),
        photos_(folder_ / "photos"),
        pool_(std::move(reading)),
        reader_([this](const std::function<Status(Connection&)>& task) { return pool_.With(task); },
                clock_),
        queue_(
            std::move(writing), [this] { events_.Begin(); }, [this] { events_.Undone(); }) {}
  SqliteStore(const SqliteStore&) = delete;
  SqliteStore& operator=(const SqliteStore&) = delete;
  // The log is taken into the database while nobody reads any more, so that the file is whole.
  ~SqliteStore() override {
    pool_.Close();
    queue_.Finish();
  }

  ledger::Writer& writer() override { return *this; }
  ledger::Reader& reader() override { return reader_; }
  ledger::PhotoStore& photos() override { return photos_; }
  const std::filesystem::path& folder() const override { return folder_; }
  std::int64_t commits() const override { return queue_.commits(); }

  Status Write(Task task) override { return queue_.Run(std::move(task)); }
  Status Read(const std::function<Status(Connection&)>& task) override { return pool_.With(task); }

  std::vector<Result<ledger::Receipt>> Append(std::vector<ledger::Draft> drafts,
                                              ledger::Together together) override {
    const std::size_t count = drafts.size();
    std::vector<Result<ledger::Receipt>> results;
    results.reserve(count);
    const Status done = queue_.Run([&](Connection& connection) -> Status {
      results.clear();
      const units::UtcTime now = clock_();
      for (ledger::Draft& draft : drafts) {
        results.push_back(events_.Append(connection, std::move(draft), now));
        if (results.back()) continue;
        const Error& error = results.back().error();
        if (together == ledger::Together::kAllOrNone || IsTrouble(error)) return Fail(error);
      }
      return {};
    });
    if (!done) results.assign(count, Fail(done.error()));
    return results;
  }

  Status SetPar(const std::string& cut, const std::string& location,
                std::optional<units::Mass> mass, const std::string& user) override {
    const auto fine = [](const std::string& text) {
      return ledger::TextIsFine(text, 60, ledger::TextShape::kLine);
    };
    if (cut.empty() || !fine(cut) || !fine(location) || user.empty() || !fine(user) ||
        (mass && *mass <= units::Mass())) {
      return Fail(Code::kEntryUnusable, "A par level wants a cut, a mass above zero and a user.",
                  "par", "Give cut, location and grams; leave the mass out to take it away.");
    }
    return queue_.Run([&](Connection& connection) -> Status {
      Names& names = events_.names();
      const auto cut_number = names.NumberOf(connection, Names::Table::kCut, cut);
      if (!cut_number) return Fail(cut_number.error());
      const auto place = names.NumberOf(connection, Names::Table::kLocation, location);
      if (!place) return Fail(place.error());
      const auto person = names.NumberOf(connection, Names::Table::kPerson, user);
      if (!person) return Fail(person.error());
      if (!mass) {
        auto gone = connection.Prepare("DELETE FROM par WHERE cut = ? AND location = ?");
        if (!gone) return Fail(gone.error());
        return gone->Bind(1, *cut_number).Bind(2, *place).Run();
      }
      auto row = connection.Prepare(
          "INSERT INTO par (cut, location, mass_mg, person, set_ms) VALUES (?, ?, ?, ?, ?)"
          " ON CONFLICT (cut, location) DO UPDATE SET mass_mg = excluded.mass_mg,"
          " person = excluded.person, set_ms = excluded.set_ms");
      if (!row) return Fail(row.error());
      row->Bind(1, *cut_number).Bind(2, *place).Bind(3, mass->milligrams());
      return row->Bind(4, *person).Bind(5, clock_().ms).Run();
    });
  }

 private:
  std::filesystem::path folder_;
  Clock clock_;
  PhotoFolder photos_;
  ReaderPool pool_;
  SqliteReader reader_;
  EventWriter events_;
  WriteQueue queue_;
};

}  // namespace

units::UtcTime SystemNow() {
  const auto now = std::chrono::system_clock::now().time_since_epoch();
  return {std::chrono::duration_cast<std::chrono::milliseconds>(now).count()};
}

namespace {

Result<std::unique_ptr<Store>> WithReaders(const std::filesystem::path& folder, Clock clock,
                                           int readers, Connection writing) {
  std::vector<Connection> reading;
  for (int i = 0; i < readers; ++i) {
    auto connection = Connection::Open(folder / "ribwright.db", OpenAs::kReadOnly);
    if (!connection) return Fail(connection.error());
    reading.push_back(std::move(*connection));
  }
  return std::unique_ptr<Store>(
      new SqliteStore(folder, std::move(clock), std::move(writing), std::move(reading)));
}

}  // namespace

Result<std::unique_ptr<Store>> Store::Open(const std::filesystem::path& folder,
                                           StoreOptions options) {
  RIBWRIGHT_CHECK(options.readers >= 1);
  const auto state = LookAt(folder);
  if (!state) return Fail(state.error());
  if (const Status made = MakeHouseFolder(folder); !made) return Fail(made.error());
  const std::filesystem::path file = folder / "ribwright.db";
  auto writing =
      Connection::Open(file, *state == HouseState::kNew ? OpenAs::kCreate : OpenAs::kReadWrite);
  if (!writing) return Fail(writing.error());
  // Where it may not write, SQLite falls back to reading without a word.
  if (sqlite3_db_readonly(writing->handle(), "main") != 0 || ::access(folder.c_str(), W_OK) != 0) {
    return Fail(Code::kStoreUnusable, "The data folder cannot be written.", "data folder",
                "Give this user the right to write there, or another folder with --data.");
  }
  const auto migrated = Migrate(*writing, file, ShippedMigrations(), options.clock());
  if (!migrated) return Fail(migrated.error());
  if (options.max_pages > 0) {
    const std::string limit = fmt::format("PRAGMA max_page_count = {}", options.max_pages);
    if (const Status set = writing->Execute(limit.c_str()); !set) return Fail(set.error());
  }
  return WithReaders(folder, std::move(options.clock), options.readers, std::move(*writing));
}

Result<std::unique_ptr<Store>> OpenToRead(const std::filesystem::path& folder) {
  const auto state = LookAt(folder);
  if (!state) return Fail(state.error());
  if (*state == HouseState::kNew) {
    return Fail(Code::kStoreUnusable, "There is no ledger in this folder.", "data folder",
                "Give the house's folder with --data; ribwright serve, ledger write or demo makes "
                "one.");
  }
  auto connection = Connection::Open(folder / "ribwright.db", OpenAs::kReadOnly);
  if (!connection) return Fail(connection.error());
  const auto applied = AppliedMigrations(*connection, ShippedMigrations());
  if (!applied) return Fail(applied.error());
  if (applied->size() != ShippedMigrations().size()) {
    return Fail(Code::kStoreMismatch, "The database is of an older version of the program.",
                "data folder",
                "Start ribwright serve once: it brings the database up to date, after a backup.");
  }
  return WithReaders(folder, SystemNow, 1, std::move(*connection));
}

}  // namespace ribwright::store
