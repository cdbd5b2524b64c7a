// SPDX-License-Identifier: Apache-2.0
#include "server/stream_gate.h"

namespace ribwright::server {

Result<std::shared_ptr<void>> StreamGate::Take(const std::string& session) {
  {
    const std::lock_guard lock(mutex_);
    int& own = by_session_[session];
    if (open_ >= kMostStreams || own >= kMostOfSession) {
      if (own == 0) by_session_.erase(session);
      return Fail(Code::kJudgeBusy, "Too many streams of events are open; the job itself goes on.",
                  "", "Close other pages, or ask for the job's state now and then.");
    }
    ++open_;
    ++own;
  }
  return std::shared_ptr<void>(nullptr, [this, session](void*) { Leave(session); });
}

void StreamGate::Leave(const std::string& session) {
  const std::lock_guard lock(mutex_);
  --open_;
  const auto own = by_session_.find(session);
  if (--own->second == 0) by_session_.erase(own);
}

}  // namespace ribwright::server
