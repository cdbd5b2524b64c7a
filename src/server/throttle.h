// SPDX-License-Identifier: Apache-2.0
// Throttle: how long somebody whose tries fail must wait.
//
// Counts failures by a key (a name with an address, an address, a name). Up to `free` failures cost
// nothing; each further one doubles the wait, from kFirstWait to kLongestWait. A key is forgotten
// kForget after its last failure, or when Succeeded() names it. At most kMostKeys are remembered;
// beyond, those whose wait is over go first. All limits: our own choice. The clock is passed in.
// Thread-safe.
#pragma once

#include <chrono>
#include <map>
#include <mutex>
#include <string>

#include "units/utc_time.h"

namespace ribwright::server {

class Throttle {
 public:
  static constexpr std::chrono::seconds kFirstWait{10};
  static constexpr std::chrono::seconds kLongestWait{900};
  static constexpr std::chrono::seconds kForget{3600};
  static constexpr std::size_t kMostKeys = 20'000;

  // Zero: go on.
  std::chrono::seconds WaitOf(const std::string& key, units::UtcTime now);
  void Failed(const std::string& key, int free, units::UtcTime now);
  void Succeeded(const std::string& key);

 private:
  struct Tries {
    int failures = 0;
    units::UtcTime last;
    units::UtcTime open;  // when the next try is let through
  };
  void Forget(units::UtcTime now);

  std::mutex mutex_;
  std::map<std::string, Tries> tries_;
};

}  // namespace ribwright::server
