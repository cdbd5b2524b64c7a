// SPDX-License-Identifier: Apache-2.0
#include "server/throttle.h"

#include <algorithm>

namespace ribwright::server {

std::chrono::seconds Throttle::WaitOf(const std::string& key, units::UtcTime now) {
  const std::lock_guard lock(mutex_);
  const auto found = tries_.find(key);
  if (found == tries_.end() || found->second.open <= now) return std::chrono::seconds(0);
  return std::chrono::ceil<std::chrono::seconds>(found->second.open - now);
}

void Throttle::Failed(const std::string& key, int free, units::UtcTime now) {
  const std::lock_guard lock(mutex_);
  Tries& tries = tries_[key];
  if (tries.failures > 0 && now - tries.last > kForget) tries = {};
  ++tries.failures;
  tries.last = now;
  tries.open = now;
  const int beyond = tries.failures - free;
  if (beyond >= 0) {
    const auto wait = kFirstWait * (1 << std::min(beyond, 10));
    tries.open = now + std::min<std::chrono::seconds>(wait, kLongestWait);
  }
  if (tries_.size() > kMostKeys) Forget(now);
}

void Throttle::Succeeded(const std::string& key) {
  const std::lock_guard lock(mutex_);
  tries_.erase(key);
}

void Throttle::Forget(units::UtcTime now) {
  std::erase_if(tries_, [&](const auto& entry) { return now - entry.second.last > kForget; });
  if (tries_.size() <= kMostKeys) return;
  std::erase_if(tries_, [&](const auto& entry) { return entry.second.open <= now; });
  // Still too many: every one of them waits. The first in order make room.
  while (tries_.size() > kMostKeys) tries_.erase(tries_.begin());
}

}  // namespace ribwright::server
