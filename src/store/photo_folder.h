// SPDX-License-Identifier: Apache-2.0
// PhotoFolder: the port ledger/photo_store.h over a folder. The photo of hash 0123… is the file
// 01/0123…; a file under its final name is whole, since it is flushed and then renamed there.
#pragma once

#include <filesystem>

#include "ledger/photo_store.h"

namespace ribwright::store {

class PhotoFolder final : public ledger::PhotoStore {
 public:
  explicit PhotoFolder(std::filesystem::path folder) : folder_(std::move(folder)) {}
  Result<ledger::Hash> Put(std::span<const std::uint8_t> bytes) override;
  Status Adopt(const std::filesystem::path& file, const ledger::Hash& hash) override;
  bool Has(const ledger::Hash& hash) override;
  Result<std::vector<std::uint8_t>> Get(const ledger::Hash& hash) override;
  Status Remove(const ledger::Hash& hash) override;
  std::filesystem::path PathOf(const ledger::Hash& hash) const;

 private:
  std::filesystem::path folder_;
};

}  // namespace ribwright::store
