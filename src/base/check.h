// SPDX-License-Identifier: Apache-2.0
// RIBWRIGHT_CHECK(condition): always on; a broken promise between our own functions throws
// LogicError. Never use it for what a user, a file or a photo can cause: that is a Result with an
// Error.
#pragma once

#include <stdexcept>
#include <string>

namespace ribwright {

class LogicError : public std::logic_error {
 public:
  using std::logic_error::logic_error;
};

[[noreturn]] inline void CheckFailed(const char* condition, const char* file, int line) {
  throw LogicError(std::string("check failed: ") + condition + " at " + file + ":" +
                   std::to_string(line));
}

}  // namespace ribwright

#define RIBWRIGHT_CHECK(condition) \
  ((condition) ? void(0) : ::ribwright::CheckFailed(#condition, __FILE__, __LINE__))
