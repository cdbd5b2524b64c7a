// SPDX-License-Identifier: Apache-2.0
// A store in a folder of its own with a clock that tests set, and short ways to write events.
#pragma once

#include <gtest/gtest.h>

#include <atomic>
#include <filesystem>
#include <memory>
#include <string>

#include "store/store.h"

namespace ribwright::store {

inline units::Mass G(double grams) { return units::Mass::FromGrams(grams); }
inline units::Money Eur(std::int64_t cents) { return {cents, *units::Currency::FromText("EUR")}; }

class TestFolder {
 public:
  TestFolder() {
    std::string name = std::filesystem::temp_directory_path() / "ribwright-store-XXXXXX";
    path_ = ::mkdtemp(name.data());
  }
  ~TestFolder() {
    std::error_code ignored;
    std::filesystem::remove_all(path_, ignored);
  }
  TestFolder(const TestFolder&) = delete;
  TestFolder& operator=(const TestFolder&) = delete;
  const std::filesystem::path& path() const { return path_; }

 private:
  std::filesystem::path path_;
};

class House {
 public:
  explicit House(StoreOptions options = {}) { Open(std::move(options)); }
  void Open(StoreOptions options = {}) {
    store_.reset();
    options.clock = [this] { return units::UtcTime{now_ms_.load()}; };
    auto opened = Store::Open(folder_.path(), std::move(options));
    EXPECT_TRUE(opened) << opened.error().message << opened.error().where;
    store_ = std::move(*opened);
  }
  void Close() { store_.reset(); }

  Store& store() { return *store_; }
  ledger::Writer& writer() { return store_->writer(); }
  ledger::Reader& reader() { return store_->reader(); }
  const std::filesystem::path& folder() const { return folder_.path(); }
  std::filesystem::path database() const { return folder_.path() / "ribwright.db"; }
  units::UtcTime now() const { return {now_ms_.load()}; }
  void Pass(std::chrono::milliseconds time) { now_ms_ += time.count(); }

  ledger::Draft DraftOf(ledger::Payload payload, const std::string& key = "") {
    return {std::move(payload), now(), "ada", key.empty() ? "k" + std::to_string(++keys_) : key,
            ""};
  }
  Result<ledger::Receipt> Write(ledger::Payload payload) {
    Pass(std::chrono::seconds(1));
    return writer().Append(DraftOf(std::move(payload)));
  }
  // Must succeed; the first piece that it made or changed.
  ledger::Piece Do(ledger::Payload payload) {
    const auto receipt = Write(std::move(payload));
    EXPECT_TRUE(receipt) << receipt.error().message << " " << receipt.error().where;
    return receipt ? receipt->pieces.front() : ledger::Piece{};
  }
  ledger::Piece Receive(const std::string& cut, double grams, std::int64_t cents = 10'000) {
    ledger::Received received;
    received.piece = {{}, "", cut, G(grams), "cold room"};
    received.cost = Eur(cents);
    received.supplier = "North Pasture";
    received.lot = "L1";
    return Do(received);
  }
  ledger::Piece Now(ledger::PieceId id) {
    const auto piece = reader().Find(id);
    EXPECT_TRUE(piece) << piece.error().message;
    return piece ? *piece : ledger::Piece{};
  }

 private:
  TestFolder folder_;
  std::atomic<std::int64_t> now_ms_{1'790'000'000'000};  // September 2026
  int keys_ = 0;
  std::unique_ptr<Store> store_;
};

// "code: message" of a refusal, "" where there is none.
template <typename T>
std::string Refusal(const Result<T>& result) {
  return result ? "" : std::string(CodeText(result.error().code)) + ": " + result.error().message;
}

}  // namespace ribwright::store
