// SPDX-License-Identifier: Apache-2.0
// CheckPhotos of check.h.
#include <fmt/format.h>

#include <algorithm>
#include <string>

#include "store/check.h"
#include "store/photo_folder.h"

namespace ribwright::store {
namespace {

constexpr std::size_t kMostFaults = 100;

}  // namespace

Status CheckPhotos(const std::filesystem::path& database, const std::filesystem::path& photos,
                   Checked& checked) {
  auto connection = Connection::Open(database, OpenAs::kReadOnly);
  if (!connection) return Fail(connection.error());
  {
    // A database of an early version names none.
    auto table = connection->Prepare("SELECT 1 FROM sqlite_schema WHERE name = 'judging_layer'");
    if (!table) return Fail(table.error());
    const auto there = table->Step();
    if (!there) return Fail(there.error());
    if (!*there) return {};
  }
  auto named = connection->Prepare(
      "SELECT hash, 'photo ' || id FROM photo"
      " UNION ALL SELECT picture, 'picture of photo ' || id FROM photo WHERE picture IS NOT NULL"
      " UNION ALL SELECT hash, 'layer ' || layer || ' of face ' || judging FROM judging_layer");
  if (!named) return Fail(named.error());
  PhotoFolder folder(photos);
  for (;;) {
    const auto row = named->Step();
    if (!row) return Fail(row.error());
    if (!*row) return {};
    ++checked.files;
    const auto bytes = named->Blob(0);
    ledger::Hash hash;
    std::copy_n(bytes.begin(), std::min(bytes.size(), hash.bytes.size()), hash.bytes.begin());
    const auto file = folder.Get(hash);
    if (file || checked.faults.size() >= kMostFaults) continue;
    const bool missing = file.error().code == Code::kPhotoNotKept;
    checked.faults.push_back(
        {Code::kStoreDamaged,
         missing ? "A file that the database names is not in the photo folder."
                 : "A file of the photo folder cannot be what was kept: " + file.error().message,
         fmt::format("{}, {}", named->Text(1), ledger::HashText(hash)),
         "Put the file back from a backup."});
  }
}

}  // namespace ribwright::store
