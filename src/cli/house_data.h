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

// A ledger that is there already; kStoreUnusable where there is none.
Result<std::unique_ptr<store::Store>> OpenHouse(const std::string& folder);

}  // namespace ribwright::cli
