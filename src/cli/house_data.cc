// SPDX-License-Identifier: Apache-2.0
#include "cli/house_data.h"

#include <sys/stat.h>

#include <CLI/CLI.hpp>
#include <cstdio>

#include "store/open_house.h"

namespace ribwright::cli {

void AddDataOption(CLI::App& command, std::string& folder) {
  folder = kDataFolder;
  command.add_option("--data", folder, "Folder of the house's data")
      ->type_name("DIR")
      ->capture_default_str();
}

void GuardHouse(const std::string& folder) {
  ::umask(077);
  struct stat info {};
  if (::stat(folder.c_str(), &info) != 0 || !S_ISDIR(info.st_mode)) return;
  if ((info.st_mode & 077U) == 0) return;
  std::fprintf(stderr,
               "ribwright: warning: other users of this machine can look into the data folder.\n"
               "  mend:  chmod -R go= %s\n",
               folder.c_str());
}

Result<std::unique_ptr<store::Store>> OpenHouse(const std::string& folder) {
  GuardHouse(folder);
  const auto state = store::LookAt(folder);
  if (!state) return Fail(state.error());
  // Says why, too, where there is none.
  if (*state == store::HouseState::kNew) return store::OpenToRead(folder);
  return store::Store::Open(folder);
}

Result<std::unique_ptr<store::Store>> OpenHouseToRead(const std::string& folder) {
  GuardHouse(folder);
  return store::OpenToRead(folder);
}

Result<std::unique_ptr<store::Store>> OpenOrMakeHouse(const std::string& folder) {
  GuardHouse(folder);
  return store::Store::Open(folder);
}

}  // namespace ribwright::cli
