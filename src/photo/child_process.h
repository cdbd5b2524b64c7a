// SPDX-License-Identifier: Apache-2.0
// One child process that is fed bytes and answers with bytes, within a time.
//
// Start() runs `program` with `arguments` by posix_spawn: no shell, no search path, standard error
// to /dev/null. Feed() and Read() share one deadline; bytes are fed while bytes are read, so that
// neither pipe can block the other. The destructor kills a child that still runs and always waits
// for it. Not thread-safe: one object, one thread; several objects may live at once.
#pragma once

#include <sys/types.h>

#include <chrono>
#include <cstdint>
#include <filesystem>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <vector>

namespace ribwright::photo {

class ChildProcess {
 public:
  using Clock = std::chrono::steady_clock;

  // Nothing when it cannot be started. `input` must outlive the object.
  static std::unique_ptr<ChildProcess> Start(const std::filesystem::path& program,
                                             const std::vector<std::string>& arguments,
                                             std::span<const std::uint8_t> input,
                                             Clock::time_point deadline);
  ChildProcess(const ChildProcess&) = delete;
  ChildProcess& operator=(const ChildProcess&) = delete;
  ~ChildProcess();

  enum class Outcome { kFull, kEnded, kTimedOut, kFailed };
  // Fills `out` from the child's output. kEnded: the output closed before `out` was full.
  Outcome Read(std::span<std::uint8_t> out);

 private:
  ChildProcess() = default;
  void FeedSome();

  pid_t pid_ = -1;
  int to_child_ = -1;
  int from_child_ = -1;
  std::span<const std::uint8_t> input_;
  Clock::time_point deadline_;
};

}  // namespace ribwright::photo
