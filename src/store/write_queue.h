// SPDX-License-Identifier: Apache-2.0
// WriteQueue: one writer at a time, and its group commits (store.h says what callers may rely on).
//
// Run hands a task over and waits until the group that it was in is on the disk. There is no thread
// of its own: of the callers that wait, one takes all that waits and runs it as a group while the
// others sleep, so that a lone caller never waits for another thread to wake. `on_begin` is called
// at the start of each transaction and `on_undo` whenever something was rolled back, so that what
// the tasks remember of the database can be forgotten. Exceptions of a task (a programmer's fault)
// are thrown again in its Run, after its rollback. No call may be running when it is destroyed.
#pragma once

#include <atomic>
#include <condition_variable>
#include <exception>
#include <functional>
#include <mutex>
#include <thread>
#include <vector>

#include "base/result.h"
#include "store/sqlite.h"

namespace ribwright::store {

class WriteQueue {
 public:
  using Task = std::function<Status(Connection&)>;

  WriteQueue(Connection connection, std::function<void()> on_begin, std::function<void()> on_undo);
  WriteQueue(const WriteQueue&) = delete;
  WriteQueue& operator=(const WriteQueue&) = delete;

  Status Run(Task task);
  // Takes the write-ahead log into the database and cuts it to nothing; trouble is for the next
  // opening. No call may be running.
  void Finish();
  std::int64_t commits() const { return commits_.load(); }

 private:
  struct Waiting {
    Task task;
    Status result;
    std::exception_ptr fault;
    bool done = false;
  };
  void Lead(std::unique_lock<std::mutex>& lock);
  void RunGroup(const std::vector<Waiting*>& group);
  bool RunTask(Waiting& waiting);  // false: the whole transaction is gone

  Connection connection_;
  std::function<void()> on_begin_;
  std::function<void()> on_undo_;
  std::mutex mutex_;
  std::condition_variable finished_;
  std::vector<Waiting*> queue_;
  bool led_ = false;  // a caller is running a group
  std::thread::id leader_;
  std::atomic<std::int64_t> commits_{0};
};

}  // namespace ribwright::store
