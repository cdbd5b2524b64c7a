// SPDX-License-Identifier: Apache-2.0
// Whole files in and out.
//
// ReadFileLimited reads a file, or refuses it by its size before its bytes are read. Errors:
// kFileUnreadable (missing, a folder, no permission, a pipe or device by name), kFileEmpty,
// kFileTooLarge (over `limit` bytes). A pipe or device that was handed over (/dev/stdin, /dev/fd/N)
// is read up to the limit. WriteFileAtomically writes a temporary file beside the target and
// renames it: a reader sees the old file or the whole new one, also when this program dies half
// way. A symbolic link keeps pointing at its target, and a device or pipe (/dev/null, /dev/stdout)
// is written to, never replaced. It does not force the bytes to the disk: after a power cut the
// old file may be back. Error: kOutputUnwritable. Thread-safe. Errors show paths as given.
#pragma once

#include <cstdint>
#include <filesystem>
#include <span>
#include <string_view>
#include <vector>

#include "base/result.h"

namespace ribwright {

Result<std::vector<std::uint8_t>> ReadFileLimited(const std::filesystem::path& path,
                                                  std::size_t limit);

Status WriteFileAtomically(const std::filesystem::path& path, std::span<const std::uint8_t> bytes);
Status WriteFileAtomically(const std::filesystem::path& path, std::string_view text);

}  // namespace ribwright
