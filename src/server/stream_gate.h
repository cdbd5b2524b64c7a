// SPDX-License-Identifier: Apache-2.0
// How many streams of events may be open: each holds one of the server's threads for as long as its
// client likes, and all of them would leave none to answer with. At most kMostStreams in all and
// kMostOfSession a session (our own limits; http_server.h has 64 threads). A place is free again
// when the last copy of what Take gave is gone. Thread-safe; must outlive its places.
#pragma once

#include <map>
#include <memory>
#include <mutex>
#include <string>

#include "base/result.h"

namespace ribwright::server {

class StreamGate {
 public:
  static constexpr int kMostStreams = 24;
  static constexpr int kMostOfSession = 4;

  // kJudgeBusy where there is no place.
  Result<std::shared_ptr<void>> Take(const std::string& session);

 private:
  void Leave(const std::string& session);
  std::mutex mutex_;
  int open_ = 0;
  std::map<std::string, int> by_session_;
};

}  // namespace ribwright::server
