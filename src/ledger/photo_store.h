// SPDX-License-Identifier: Apache-2.0
// PhotoStore: the port that keeps photos (and other large files) under the hash of their bytes.
//
// Put is done when the bytes are on the disk; the same bytes twice are kept once. Adopt takes a
// file that an upload wrote (of the hash it says; moved, not copied, where it lies on the same
// file system). Nothing is ever changed in place; Remove is for photos that no event names.
// Errors: kPhotoNotKept, kStoreFull, kStoreUnusable; Get also kStoreDamaged where the bytes no
// longer have their hash. Thread-safe.
#pragma once

#include <cstdint>
#include <filesystem>
#include <span>
#include <vector>

#include "base/result.h"
#include "ledger/hash.h"

namespace ribwright::ledger {

class PhotoStore {
 public:
  virtual ~PhotoStore() = default;
  virtual Result<Hash> Put(std::span<const std::uint8_t> bytes) = 0;
  virtual Status Adopt(const std::filesystem::path& file, const Hash& hash) = 0;
  virtual bool Has(const Hash& hash) = 0;
  virtual Result<std::vector<std::uint8_t>> Get(const Hash& hash) = 0;
  virtual Status Remove(const Hash& hash) = 0;
};

}  // namespace ribwright::ledger
