// SPDX-License-Identifier: Apache-2.0
// What lies in a data folder before its database is opened, and opening it only to read.
//
// A folder is new where it holds neither a database nor photos. A database without bytes, or photos
// without one, is what is left of a house, and never the start of another: kStoreDamaged, so that
// nobody goes on in an empty ledger beside the old photos. LookAt makes nothing.
//
// OpenToRead never makes or migrates a database: kStoreUnusable where there is none, kStoreMismatch
// where it wants a step of this program first. What it opens refuses to write.
#pragma once

#include <filesystem>
#include <memory>

#include "base/result.h"
#include "store/store.h"

namespace ribwright::store {

enum class HouseState { kNew, kThere };

Result<HouseState> LookAt(const std::filesystem::path& folder);
Result<std::unique_ptr<Store>> OpenToRead(const std::filesystem::path& folder);

// The data folder for its owner alone (0700) where it is made now; one that is there stays as it
// is.
Status MakeHouseFolder(const std::filesystem::path& folder);

}  // namespace ribwright::store
