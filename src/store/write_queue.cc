// SPDX-License-Identifier: Apache-2.0
#include "store/write_queue.h"

#include <sqlite3.h>

#include <utility>

#include "base/check.h"

namespace ribwright::store {
namespace {

// More would make the first of a group wait for its last; one flush is well shared by these.
constexpr std::size_t kMostTogether = 256;

Status Do(Connection& connection, std::string_view sql) {
  auto statement = connection.Prepare(sql);
  if (!statement) return Fail(statement.error());
  return statement->Run();
}

}  // namespace

WriteQueue::WriteQueue(Connection connection, std::function<void()> on_begin,
                       std::function<void()> on_undo)
    : connection_(std::move(connection)),
      on_begin_(std::move(on_begin)),
      on_undo_(std::move(on_undo)) {}

void WriteQueue::Finish() {
  if (sqlite3_db_readonly(connection_.handle(), "main") == 0) {
    sqlite3_busy_timeout(connection_.handle(), 200);  // another program may read for long
    (void)connection_.Execute("PRAGMA wal_checkpoint(TRUNCATE)");
  }
}

Status WriteQueue::Run(Task task) {
  Waiting waiting;
  waiting.task = std::move(task);
  std::unique_lock lock(mutex_);
  RIBWRIGHT_CHECK(!led_ || leader_ != std::this_thread::get_id());
  queue_.push_back(&waiting);
  while (!waiting.done) {
    if (led_) {
      finished_.wait(lock);
    } else {
      Lead(lock);
    }
  }
  if (waiting.fault) std::rethrow_exception(waiting.fault);
  return waiting.result;
}

void WriteQueue::Lead(std::unique_lock<std::mutex>& lock) {
  std::vector<Waiting*> group;
  if (queue_.size() <= kMostTogether) {
    group.swap(queue_);
  } else {
    const auto end = queue_.begin() + static_cast<std::ptrdiff_t>(kMostTogether);
    group.assign(queue_.begin(), end);
    queue_.erase(queue_.begin(), end);
  }
  led_ = true;
  leader_ = std::this_thread::get_id();
  lock.unlock();
  RunGroup(group);
  lock.lock();
  led_ = false;
  for (Waiting* waiting : group) waiting->done = true;
  finished_.notify_all();
}

bool WriteQueue::RunTask(Waiting& waiting) {
  if (const Status set = Do(connection_, "SAVEPOINT task"); !set) {
    waiting.result = set;
  } else {
    try {
      waiting.result = waiting.task(connection_);
    } catch (...) {
      waiting.fault = std::current_exception();
      waiting.result = Fail(Code::kInternal, "A fault in the program.", "", "Report it.");
    }
    if (waiting.result) waiting.result = Do(connection_, "RELEASE task");
  }
  if (waiting.result) return true;
  on_undo_();
  // SQLite itself rolls everything back after some errors (a full disk).
  if (sqlite3_get_autocommit(connection_.handle()) != 0) return false;
  const Status undone = Do(connection_, "ROLLBACK TO task");
  return undone && Do(connection_, "RELEASE task");
}

void WriteQueue::RunGroup(const std::vector<Waiting*>& group) {
  // Tasks that were undone keep their own error.
  const auto all_failed = [&](const Error& error) {
    on_undo_();
    if (sqlite3_get_autocommit(connection_.handle()) == 0) (void)connection_.Execute("ROLLBACK");
    for (Waiting* waiting : group) {
      if (waiting->result) waiting->result = Fail(error);
    }
  };
  if (const Status begun = Do(connection_, "BEGIN IMMEDIATE"); !begun) {
    all_failed(begun.error());
    return;
  }
  on_begin_();
  bool any = false;
  for (Waiting* waiting : group) {
    if (!RunTask(*waiting)) {
      all_failed(waiting->result.error());
      // Not yet run: told the same, so that they can be sent again.
      return;
    }
    any = any || waiting->result.has_value();
  }
  if (const Status done = Do(connection_, any ? "COMMIT" : "ROLLBACK"); !done) {
    all_failed(done.error());
    return;
  }
  if (any) commits_.fetch_add(1);
}

}  // namespace ribwright::store
