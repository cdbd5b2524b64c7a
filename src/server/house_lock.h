// SPDX-License-Identifier: Apache-2.0
// One server a data folder: two would sweep each other's uploads away and both judge what waits.
//
// The lock (flock) is on DIR/serve.lock, which holds the number of the process that has it, for
// people to read. It ends with the process, however that ends; the file stays. kStoreBusy names the
// process that holds it; kStoreUnusable where the folder cannot be written. Commands beside the
// server do not take it: SQLite keeps them in turn.
#pragma once

#include <filesystem>

#include "base/result.h"

namespace ribwright::server {

class HouseLock {
 public:
  // The folder must be there.
  static Result<HouseLock> Take(const std::filesystem::path& folder);
  HouseLock() = default;
  HouseLock(HouseLock&& other) noexcept;
  HouseLock& operator=(HouseLock&& other) noexcept;
  ~HouseLock();

 private:
  explicit HouseLock(int fd) : fd_(fd) {}
  int fd_ = -1;
};

}  // namespace ribwright::server
