// SPDX-License-Identifier: Apache-2.0
// SQLite's C interface in the shape of this program: owned connections and statements, Result for
// trouble, no exceptions for what a disk or another program can cause.
//
// A Connection keeps every prepared statement (by its text, which must be a literal or live as
// long), so Prepare costs a look-up the second time. A Statement is borrowed from its connection:
// bind by position from 1, Step, read columns from 0; it resets when it goes out of scope. Errors:
// kStoreFull (disk or size limit), kStoreBusy (locked by another program for longer than the
// timeout), kStoreDamaged (not a database, malformed), else kStoreUnusable, with SQLite's words in
// the message. A Connection and its statements belong to one thread at a time.
#pragma once

#include <cstdint>
#include <filesystem>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

#include "base/result.h"

struct sqlite3;
struct sqlite3_stmt;

namespace ribwright::store {

class Statement {
 public:
  Statement(Statement&& other) noexcept;
  Statement& operator=(Statement&&) = delete;
  Statement(const Statement&) = delete;
  Statement& operator=(const Statement&) = delete;
  ~Statement();

  Statement& Bind(int index, std::int64_t value);
  Statement& Bind(int index, double value);
  Statement& Bind(int index, std::string_view text);  // must live until Step
  Statement& Bind(int index, std::span<const std::uint8_t> blob);
  Statement& BindNull(int index);
  template <typename T>
  Statement& BindOptional(int index, const std::optional<T>& value) {
    return value ? Bind(index, *value) : BindNull(index);
  }

  // true: a row is there. After false or an error the statement is reset.
  Result<bool> Step();
  // Steps to the end; rows are passed over.
  Status Run();
  void Reset();

  bool IsNull(int column) const;
  std::int64_t Int(int column) const;
  double Real(int column) const;
  std::string_view Text(int column) const;  // until the next Step or Reset
  std::span<const std::uint8_t> Blob(int column) const;

 private:
  friend class Connection;
  Statement(sqlite3* db, sqlite3_stmt* statement) : db_(db), statement_(statement) {}
  sqlite3* db_;
  sqlite3_stmt* statement_;
};

enum class OpenAs { kReadOnly, kReadWrite, kCreate };

class Connection {
 public:
  // WAL, synchronous FULL, foreign keys on, 5 s of patience with other programs, no trust in
  // the schema's functions, defensive.
  static Result<Connection> Open(const std::filesystem::path& file, OpenAs as);
  Connection(Connection&& other) noexcept;
  Connection& operator=(Connection&& other) noexcept;
  Connection(const Connection&) = delete;
  Connection& operator=(const Connection&) = delete;
  ~Connection();

  // The statement must not be in use already.
  Result<Statement> Prepare(std::string_view sql);
  // One or more statements without values.
  Status Execute(const char* sql);
  std::int64_t Changes() const;
  std::int64_t LastRowId() const;
  sqlite3* handle() const { return db_; }

 private:
  explicit Connection(sqlite3* db) : db_(db) {}
  void Close();
  sqlite3* db_ = nullptr;
  std::unordered_map<std::string_view, sqlite3_stmt*> statements_;
};

// What went wrong on this connection, as an Error.
Error SqliteError(sqlite3* db, int code, std::string where);

}  // namespace ribwright::store
