// SPDX-License-Identifier: Apache-2.0
#include "store/backup.h"

#include <fmt/format.h>
#include <sqlite3.h>
#include <unistd.h>

#include <algorithm>
#include <memory>
#include <string>

#include "store/check.h"
#include "store/durable_files.h"
#include "store/open_house.h"
#include "store/sqlite.h"

namespace ribwright::store {
namespace {

namespace fs = std::filesystem;

Status CopyPages(Connection& from, const fs::path& target) {
  sqlite3* to = nullptr;
  const int opened =
      sqlite3_open_v2(target.c_str(), &to, SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE, nullptr);
  const std::unique_ptr<sqlite3, int (*)(sqlite3*)> closer(to, sqlite3_close);
  if (opened != SQLITE_OK) return Fail(SqliteError(to, opened, target.string()));
  sqlite3_backup* backup = sqlite3_backup_init(to, "main", from.handle(), "main");
  if (backup == nullptr) {
    return Fail(SqliteError(to, sqlite3_extended_errcode(to), target.string()));
  }
  // All pages in one step: a copy of one commit, and in WAL mode nobody waits for it.
  const int stepped = sqlite3_backup_step(backup, -1);
  const int finished = sqlite3_backup_finish(backup);
  if (stepped != SQLITE_DONE || finished != SQLITE_OK) {
    return Fail(SqliteError(to, finished != SQLITE_OK ? finished : stepped, target.string()));
  }
  // A copy is one file, without a log beside it.
  const int single = sqlite3_exec(to, "PRAGMA journal_mode = DELETE", nullptr, nullptr, nullptr);
  if (single != SQLITE_OK) return Fail(SqliteError(to, single, target.string()));
  return {};
}

// Photos of one folder into another; those that are there stay.
Result<Copied> CopyPhotos(const fs::path& from, const fs::path& to) {
  Copied copied;
  std::error_code failed;
  if (!fs::is_directory(from, failed)) return copied;
  for (fs::recursive_directory_iterator at(from, failed), end; !failed && at != end;
       at.increment(failed)) {
    if (!at->is_regular_file(failed) || at->path().filename().string().starts_with('.')) continue;
    const fs::path target = to / fs::relative(at->path(), from);
    if (fs::exists(target, failed)) {
      ++copied.photos_there;
      continue;
    }
    if (const Status done = CopyDurably(at->path(), target); !done) return Fail(done.error());
    ++copied.photos;
  }
  if (failed) {
    return Fail(Code::kStoreUnusable, "Photos could not be listed: " + failed.message() + ".",
                from.string(), "Check that the folder can be read.");
  }
  return copied;
}

// All photos that the database names, or kStoreDamaged with the first few that are not right.
Status RequirePhotos(const fs::path& database, const fs::path& photos, const char* whose,
                     const char* mend) {
  constexpr std::size_t kMostNamed = 5;
  Checked checked;
  if (const Status done = CheckPhotos(database, photos, checked); !done) return done;
  if (checked.faults.empty()) return {};
  std::string where;
  for (std::size_t i = 0; i < std::min(checked.faults.size(), kMostNamed); ++i) {
    where += (where.empty() ? "" : "; ") + checked.faults[i].where;
  }
  if (checked.faults.size() > kMostNamed) where += "; …";
  return Fail(Code::kStoreDamaged,
              fmt::format("{} of {} files of photos {} are missing or altered.",
                          checked.faults.size(), checked.files, whose),
              where, mend);
}

}  // namespace

Status BackUpFile(const fs::path& database, const fs::path& copy) {
  std::error_code ignored;
  if (fs::exists(copy, ignored)) {
    return Fail(Code::kOutputUnwritable, "A file of this name is there already.", copy.string(),
                "Give another name.");
  }
  if (!copy.parent_path().empty()) {
    if (const Status made = MakeFolders(copy.parent_path()); !made) return made;
  }
  auto from = Connection::Open(database, OpenAs::kReadOnly);
  if (!from) return Fail(from.error());
  fs::path part = copy;
  part += ".part" + std::to_string(::getpid());
  Status done = CopyPages(*from, part);
  if (done) done = MoveDurably(part, fs::absolute(copy));
  if (!done) fs::remove(part, ignored);
  return done;
}

Result<Copied> BackUp(const fs::path& folder, const fs::path& copy) {
  const auto state = LookAt(folder);
  if (!state) return Fail(state.error());
  if (*state == HouseState::kNew) {
    return Fail(Code::kStoreUnusable, "There is no ledger in this folder.", folder.string(),
                "Give the house's folder with --data.");
  }
  const fs::path database = copy / "ribwright.db";
  if (const Status done = BackUpFile(folder / "ribwright.db", database); !done) {
    return Fail(done.error());
  }
  const auto copied = CopyPhotos(folder / "photos", copy / "photos");
  if (!copied) return Fail(copied.error());
  const Status whole = RequirePhotos(database, copy / "photos", "in the copy",
                                     "The copy holds all the rest. Put these files back into the "
                                     "house's photos from an earlier backup.");
  if (!whole) return Fail(whole.error());
  return copied;
}

Result<Copied> Restore(const fs::path& copy, const fs::path& folder) {
  std::error_code ignored;
  const fs::path source = copy / "ribwright.db";
  if (!fs::is_regular_file(source, ignored)) {
    return Fail(Code::kFileUnreadable, "There is no backup in this folder.", copy.string(),
                "Give the folder that ribwright backup made.");
  }
  if (fs::exists(folder / "ribwright.db", ignored)) {
    return Fail(Code::kOutputUnwritable, "This folder holds a ledger already.", folder.string(),
                "Give a new folder with --data.");
  }
  const auto sound = CheckFile(source);
  if (!sound) return Fail(sound.error());
  if (!sound->faults.empty()) return Fail(sound->faults.front());
  const char* mend = "Restore another backup, or put the files back where they were.";
  if (const Status whole = RequirePhotos(source, copy / "photos", "in the backup", mend); !whole) {
    return Fail(whole.error());
  }
  if (const Status made = MakeHouseFolder(folder); !made) return Fail(made.error());
  const auto copied = CopyPhotos(copy / "photos", folder / "photos");
  if (!copied) return Fail(copied.error());
  // Photos that lay there before are not overwritten: they must be right, too.
  if (const Status whole = RequirePhotos(source, folder / "photos", "in the data folder", mend);
      !whole) {
    return Fail(whole.error());
  }
  if (const Status done = BackUpFile(source, folder / "ribwright.db"); !done) {
    return Fail(done.error());
  }
  return copied;
}

}  // namespace ribwright::store
