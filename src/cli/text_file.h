// SPDX-License-Identifier: Apache-2.0
// A small text file read whole, an error printed, a text printed: for the doors of the trade.
#pragma once

#include <cstdio>
#include <string>

#include "base/files.h"
#include "cli/program.h"

namespace ribwright::cli {

inline constexpr std::size_t kLargestText = 16'000'000;  // bytes; our own limit

inline Result<std::string> ReadText(const std::string& path) {
  const auto bytes = ReadFileLimited(path, kLargestText);
  if (!bytes) return Fail(bytes.error());
  return std::string(bytes->begin(), bytes->end());
}

inline int Refuse(const Error& error) {
  PrintError(error);
  return ExitOf(error);
}

inline int Print(const std::string& text) {
  std::fwrite(text.data(), 1, text.size(), stdout);
  return kExitDone;
}

}  // namespace ribwright::cli
