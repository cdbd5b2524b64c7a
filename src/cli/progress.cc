// SPDX-License-Identifier: Apache-2.0
#include "cli/progress.h"

#include <unistd.h>

#include <cstdio>
#include <string>

namespace ribwright::cli {
namespace {
constexpr std::size_t kCells = 40;
}

Progress::Progress(std::size_t steps)
    : steps_(steps), shown_(steps > 1 && isatty(STDERR_FILENO) == 1) {
  Draw();
}

Progress::~Progress() { Clear(); }

void Progress::Step() {
  ++done_;
  Draw();
}

void Progress::Clear() {
  if (shown_) std::fputs("\r\033[K", stderr);
}

void Progress::Draw() const {
  if (!shown_) return;
  const std::size_t full = done_ * kCells / steps_;
  const std::string bar = std::string(full, '#') + std::string(kCells - full, '.');
  std::fprintf(stderr, "\r[%s] %zu of %zu", bar.c_str(), done_, steps_);
  std::fflush(stderr);
}

}  // namespace ribwright::cli
