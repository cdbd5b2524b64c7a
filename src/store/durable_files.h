// SPDX-License-Identifier: Apache-2.0
// Files that are on the disk when the call returns: bytes are flushed before the rename, the
// folder after it. Errors: kStoreFull (no space), kStoreUnusable. Thread-safe.
#pragma once

#include <cstdint>
#include <filesystem>
#include <span>

#include "base/result.h"

namespace ribwright::store {

// Writes `bytes` beside `target` and renames; folders on the way are made.
Status WriteDurably(const std::filesystem::path& target, std::span<const std::uint8_t> bytes);
// Moves a file (by copying where it lies on another file system) so that it lasts.
Status MoveDurably(const std::filesystem::path& from, const std::filesystem::path& target);
Status CopyDurably(const std::filesystem::path& from, const std::filesystem::path& target);
Status FlushFile(const std::filesystem::path& file);
Status MakeFolders(const std::filesystem::path& folder);

}  // namespace ribwright::store
