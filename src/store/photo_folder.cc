// SPDX-License-Identifier: Apache-2.0
#include "store/photo_folder.h"

#include "base/files.h"
#include "store/durable_files.h"
#include "store/trouble_log.h"

namespace ribwright::store {
namespace {

constexpr std::size_t kMostBytes = std::size_t{1} << 30U;

// Its path stays inside.
tl::unexpected<Error> Unreadable(Error error) {
  LogTrouble(error.where + ": " + error.message);
  error.where = "data folder";
  return Fail(std::move(error));
}

}  // namespace

std::filesystem::path PhotoFolder::PathOf(const ledger::Hash& hash) const {
  const std::string text = ledger::HashText(hash);
  return folder_ / text.substr(0, 2) / text;
}

bool PhotoFolder::Has(const ledger::Hash& hash) {
  std::error_code ignored;
  return std::filesystem::is_regular_file(PathOf(hash), ignored);
}

Result<ledger::Hash> PhotoFolder::Put(std::span<const std::uint8_t> bytes) {
  const ledger::Hash hash = ledger::HashOf(bytes);
  if (Has(hash)) return hash;
  if (const Status done = WriteDurably(PathOf(hash), bytes); !done) return Fail(done.error());
  return hash;
}

Status PhotoFolder::Adopt(const std::filesystem::path& file, const ledger::Hash& hash) {
  const auto bytes = ReadFileLimited(file, kMostBytes);
  if (!bytes) return Unreadable(bytes.error());
  if (ledger::HashOf(*bytes) != hash) {
    return Fail(Code::kStoreDamaged, "The file's bytes do not have the hash that was said.",
                ledger::HashText(hash), "Send the photo again.");
  }
  if (Has(hash)) {
    std::error_code ignored;
    std::filesystem::remove(file, ignored);
    return {};
  }
  return MoveDurably(file, PathOf(hash));
}

Result<std::vector<std::uint8_t>> PhotoFolder::Get(const ledger::Hash& hash) {
  const std::string name = ledger::HashText(hash);
  if (!Has(hash)) {
    return Fail(Code::kPhotoNotKept, "No photo with this fingerprint is kept.", name,
                "Look at the list of photos.");
  }
  auto bytes = ReadFileLimited(PathOf(hash), kMostBytes);
  if (!bytes) return Unreadable(bytes.error());
  if (ledger::HashOf(*bytes) != hash) {
    return Fail(Code::kStoreDamaged, "The photo's bytes have changed since it was kept.", name,
                "Restore the photo from a backup.");
  }
  return bytes;
}

Status PhotoFolder::Remove(const ledger::Hash& hash) {
  if (!Has(hash)) {
    return Fail(Code::kPhotoNotKept, "No photo with this fingerprint is kept.",
                ledger::HashText(hash), "Look at the list of photos.");
  }
  std::error_code failed;
  std::filesystem::remove(PathOf(hash), failed);
  if (failed) {
    return Fail(Code::kStoreUnusable, "The photo could not be removed: " + failed.message() + ".",
                ledger::HashText(hash), "Check that the data folder can be written.");
  }
  return {};
}

}  // namespace ribwright::store
