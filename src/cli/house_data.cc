// SPDX-License-Identifier: Apache-2.0
#include "cli/house_data.h"

#include <CLI/CLI.hpp>
#include <filesystem>

namespace ribwright::cli {

void AddDataOption(CLI::App& command, std::string& folder) {
  folder = kDataFolder;
  command.add_option("--data", folder, "Folder of the house's data")
      ->type_name("DIR")
      ->capture_default_str();
}

Result<std::unique_ptr<store::Store>> OpenHouse(const std::string& folder) {
  std::error_code ignored;
  if (!std::filesystem::is_regular_file(std::filesystem::path(folder) / "ribwright.db", ignored)) {
    return Fail(Code::kStoreUnusable, "There is no ledger in this folder.", folder,
                "Give the house's folder with --data; ribwright serve, ledger write or demo makes "
                "one.");
  }
  return store::Store::Open(folder);
}

}  // namespace ribwright::cli
