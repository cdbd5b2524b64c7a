// SPDX-License-Identifier: Apache-2.0
// Copies of the database and its photos, and back.
//
// BackUpFile copies one database into a new file with SQLite's own backup, also while others write
// (it sees one commit), forces it to the disk and renames it into place; an existing file is not
// overwritten. BackUp does so for a whole data folder: FOLDER/ribwright.db and every photo that is
// not there yet (photos never change); where photos that the copy's database names are missing or
// altered, the copy stays as far as it goes and kStoreDamaged names them. Restore puts such a copy
// into a data folder that has no database, after checking that it and all its photos are sound
// (check.h); nothing is ever deleted. Errors: kStoreUnusable, kStoreFull, kStoreDamaged,
// kOutputUnwritable.
#pragma once

#include <cstdint>
#include <filesystem>

#include "base/result.h"

namespace ribwright::store {

Status BackUpFile(const std::filesystem::path& database, const std::filesystem::path& copy);

struct Copied {
  std::int64_t photos = 0;        // copied now
  std::int64_t photos_there = 0;  // were there already
};
Result<Copied> BackUp(const std::filesystem::path& folder, const std::filesystem::path& copy);
Result<Copied> Restore(const std::filesystem::path& copy, const std::filesystem::path& folder);

}  // namespace ribwright::store
