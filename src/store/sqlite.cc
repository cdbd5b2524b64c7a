// SPDX-License-Identifier: Apache-2.0
#include "store/sqlite.h"

#include <fmt/format.h>
#include <sqlite3.h>

#include <utility>

#include "base/check.h"
#include "store/trouble_log.h"

namespace ribwright::store {

Error SqliteError(sqlite3* db, int code, std::string where) {
  const char* words = db != nullptr ? sqlite3_errmsg(db) : sqlite3_errstr(code);
  LogTrouble(fmt::format("SQLite {}: {} [{}]", code, words, where));
  const auto error = [&](Code ours, const char* what, const char* mend) {
    return Error{ours, fmt::format("{} ({}).", what, words), "data folder", mend};
  };
  switch (code & 0xff) {
    case SQLITE_FULL:
      return error(Code::kStoreFull, "There is no space left; nothing was written",
                   "Free some space on the disk and send it again.");
    case SQLITE_BUSY:
    case SQLITE_LOCKED:
      return error(Code::kStoreBusy, "Another program holds the database",
                   "Wait, or end the other program, and try again.");
    case SQLITE_CORRUPT:
    case SQLITE_NOTADB:
      return error(Code::kStoreDamaged, "The database file is damaged",
                   "Keep a copy of it and restore the last backup (ribwright restore).");
    case SQLITE_IOERR:
      // A write that the disk refuses for want of space is reported as an I/O error.
      if ((code == SQLITE_IOERR_WRITE || code == SQLITE_IOERR_SHMSIZE) && db != nullptr &&
          sqlite3_system_errno(db) == 28) {  // ENOSPC
        return error(Code::kStoreFull, "There is no space left; nothing was written",
                     "Free some space on the disk and send it again.");
      }
      [[fallthrough]];
    default:
      return error(Code::kStoreUnusable, "The database could not be used",
                   "Check that the data folder can be read and written.");
  }
}

Statement::Statement(Statement&& other) noexcept
    : db_(other.db_), statement_(std::exchange(other.statement_, nullptr)) {}

Statement::~Statement() {
  if (statement_ != nullptr) Reset();
}

void Statement::Reset() {
  sqlite3_reset(statement_);
  sqlite3_clear_bindings(statement_);
}

Statement& Statement::Bind(int index, std::int64_t value) {
  RIBWRIGHT_CHECK(sqlite3_bind_int64(statement_, index, value) == SQLITE_OK);
  return *this;
}

Statement& Statement::Bind(int index, double value) {
  RIBWRIGHT_CHECK(sqlite3_bind_double(statement_, index, value) == SQLITE_OK);
  return *this;
}

Statement& Statement::Bind(int index, std::string_view text) {
  // A null pointer would bind NULL.
  const char* data = text.data() != nullptr ? text.data() : "";
  RIBWRIGHT_CHECK(sqlite3_bind_text64(statement_, index, data, text.size(), SQLITE_STATIC,
                                      SQLITE_UTF8) == SQLITE_OK);
  return *this;
}

Statement& Statement::Bind(int index, std::span<const std::uint8_t> blob) {
  const void* data = blob.data() != nullptr ? static_cast<const void*>(blob.data()) : "";
  RIBWRIGHT_CHECK(sqlite3_bind_blob64(statement_, index, data, blob.size(), SQLITE_STATIC) ==
                  SQLITE_OK);
  return *this;
}

Statement& Statement::BindNull(int index) {
  RIBWRIGHT_CHECK(sqlite3_bind_null(statement_, index) == SQLITE_OK);
  return *this;
}

Result<bool> Statement::Step() {
  const int code = sqlite3_step(statement_);
  if (code == SQLITE_ROW) return true;
  if (code == SQLITE_DONE) {
    Reset();
    return false;
  }
  const Error error = SqliteError(db_, sqlite3_extended_errcode(db_), sqlite3_sql(statement_));
  Reset();
  return Fail(error);
}

Status Statement::Run() {
  for (;;) {
    const auto row = Step();
    if (!row) return Fail(row.error());
    if (!*row) return {};
  }
}

bool Statement::IsNull(int column) const {
  return sqlite3_column_type(statement_, column) == SQLITE_NULL;
}
std::int64_t Statement::Int(int column) const { return sqlite3_column_int64(statement_, column); }
double Statement::Real(int column) const { return sqlite3_column_double(statement_, column); }

std::string_view Statement::Text(int column) const {
  const auto* text = reinterpret_cast<const char*>(sqlite3_column_text(statement_, column));
  if (text == nullptr) return {};
  return {text, static_cast<std::size_t>(sqlite3_column_bytes(statement_, column))};
}

std::span<const std::uint8_t> Statement::Blob(int column) const {
  const auto* blob = static_cast<const std::uint8_t*>(sqlite3_column_blob(statement_, column));
  return {blob, static_cast<std::size_t>(sqlite3_column_bytes(statement_, column))};
}

Result<Connection> Connection::Open(const std::filesystem::path& file, OpenAs as) {
  const int flags =
      SQLITE_OPEN_NOMUTEX | (as == OpenAs::kReadOnly ? SQLITE_OPEN_READONLY
                             : as == OpenAs::kCreate ? SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE
                                                     : SQLITE_OPEN_READWRITE);
  // Before the first connection only; later calls are refused and change nothing. Without it every
  // allocation of every connection passes one lock.
  sqlite3_config(SQLITE_CONFIG_MEMSTATUS, 0);
  sqlite3* db = nullptr;
  const int code = sqlite3_open_v2(file.c_str(), &db, flags, nullptr);
  Connection connection(db);  // also closes what failed to open
  if (code != SQLITE_OK) return Fail(SqliteError(db, code, file.string()));
  sqlite3_extended_result_codes(db, 1);
  sqlite3_busy_timeout(db, 5000);
  sqlite3_db_config(db, SQLITE_DBCONFIG_DEFENSIVE, 1, nullptr);
  sqlite3_db_config(db, SQLITE_DBCONFIG_TRUSTED_SCHEMA, 0, nullptr);
  // Writing keeps SQLite's own choice of temp_store: in memory, its list of pages to undo is walked
  // after every statement, which makes large transactions quadratic.
  const char* settings =
      as == OpenAs::kReadOnly
          ? "PRAGMA foreign_keys = ON; PRAGMA query_only = ON; PRAGMA cache_size = -16000; "
            "PRAGMA temp_store = MEMORY;"
          : "PRAGMA foreign_keys = ON; PRAGMA journal_mode = WAL; PRAGMA synchronous = FULL; "
            "PRAGMA cache_size = -64000; "
            "PRAGMA wal_autocheckpoint = 16000; PRAGMA journal_size_limit = 134217728;";
  if (const Status set = connection.Execute(settings); !set) return Fail(set.error());
  return connection;
}

Connection::Connection(Connection&& other) noexcept
    : db_(std::exchange(other.db_, nullptr)), statements_(std::move(other.statements_)) {
  other.statements_.clear();
}

Connection& Connection::operator=(Connection&& other) noexcept {
  if (this != &other) {
    Close();
    db_ = std::exchange(other.db_, nullptr);
    statements_ = std::move(other.statements_);
    other.statements_.clear();
  }
  return *this;
}

Connection::~Connection() { Close(); }

void Connection::Close() {
  for (const auto& [sql, statement] : statements_) sqlite3_finalize(statement);
  statements_.clear();
  if (db_ != nullptr) sqlite3_close(db_);
  db_ = nullptr;
}

Result<Statement> Connection::Prepare(std::string_view sql) {
  const auto found = statements_.find(sql);
  if (found != statements_.end()) {
    RIBWRIGHT_CHECK(sqlite3_stmt_busy(found->second) == 0);
    return Statement(db_, found->second);
  }
  sqlite3_stmt* statement = nullptr;
  const int code = sqlite3_prepare_v3(db_, sql.data(), static_cast<int>(sql.size()),
                                      SQLITE_PREPARE_PERSISTENT, &statement, nullptr);
  if (code != SQLITE_OK) return Fail(SqliteError(db_, code, std::string(sql)));
  statements_.emplace(sql, statement);
  return Statement(db_, statement);
}

Status Connection::Execute(const char* sql) {
  const int code = sqlite3_exec(db_, sql, nullptr, nullptr, nullptr);
  if (code != SQLITE_OK) return Fail(SqliteError(db_, sqlite3_extended_errcode(db_), sql));
  return {};
}

std::int64_t Connection::Changes() const { return sqlite3_changes64(db_); }
std::int64_t Connection::LastRowId() const { return sqlite3_last_insert_rowid(db_); }

}  // namespace ribwright::store
