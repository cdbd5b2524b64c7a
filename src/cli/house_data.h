// SPDX-License-Identifier: Apache-2.0
// --data DIR: the house's data folder, shared by the commands that use the ledger.
#pragma once

#include <memory>
#include <string>

#include "store/store.h"

namespace CLI {
class App;
}

namespace ribwright::cli {

inline constexpr const char* kDataFolder = "ribwright-data";

void AddDataOption(CLI::App& command, std::string& folder);

// Before a command touches a data folder: what it makes there is its owner's alone, and a folder of
// an older version that others may read is told of on stderr.
void GuardHouse(const std::string& folder);

// A ledger that is there already; kStoreUnusable where there is none. To read: nothing is made,
// migrated or written (store/open_house.h).
Result<std::unique_ptr<store::Store>> OpenHouse(const std::string& folder);
Result<std::unique_ptr<store::Store>> OpenHouseToRead(const std::string& folder);
// A ledger that is there, or a new one.
Result<std::unique_ptr<store::Store>> OpenOrMakeHouse(const std::string& folder);

}  // namespace ribwright::cli
