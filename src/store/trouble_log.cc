// SPDX-License-Identifier: Apache-2.0
#include "store/trouble_log.h"

#include <mutex>
#include <utility>

namespace ribwright::store {
namespace {

std::mutex mutex;
std::function<void(const std::string&)>& Log() {
  static std::function<void(const std::string&)> log;
  return log;
}

}  // namespace

void LogTroubleTo(std::function<void(const std::string&)> log) {
  const std::lock_guard lock(mutex);
  Log() = std::move(log);
}

void LogTrouble(const std::string& text) {
  const std::lock_guard lock(mutex);
  if (Log()) Log()(text);
}

}  // namespace ribwright::store
