// SPDX-License-Identifier: Apache-2.0
#include "store/open_house.h"

#include <algorithm>

#include "store/durable_files.h"

namespace ribwright::store {
namespace {

namespace fs = std::filesystem;

bool HoldsFiles(const fs::path& folder) {
  std::error_code failed;
  for (fs::recursive_directory_iterator at(folder, failed), end; !failed && at != end;
       at.increment(failed)) {
    std::error_code ignored;
    if (at->is_regular_file(ignored) && !at->path().filename().string().starts_with('.')) {
      return true;
    }
  }
  return false;
}

tl::unexpected<Error> Damaged(const char* what) {
  return Fail(Code::kStoreDamaged, what, "data folder",
              "Restore the last backup into a new folder (ribwright restore).");
}

}  // namespace

Result<HouseState> LookAt(const fs::path& folder) {
  std::error_code ignored;
  const fs::path file = folder / "ribwright.db";
  if (!fs::exists(file, ignored)) {
    if (HoldsFiles(folder / "photos")) {
      return Damaged("The folder holds photos, but the database that names them is gone.");
    }
    return HouseState::kNew;
  }
  const auto size = fs::file_size(file, ignored);
  if (!ignored && size == 0) return Damaged("The database file holds no bytes.");
  return HouseState::kThere;
}

Status MakeHouseFolder(const fs::path& folder) {
  std::error_code ignored;
  const bool there = fs::exists(folder, ignored);
  if (const Status made = MakeFolders(folder); !made) return made;
  if (!there) fs::permissions(folder, fs::perms::owner_all, ignored);
  return {};
}

}  // namespace ribwright::store
