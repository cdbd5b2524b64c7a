// SPDX-License-Identifier: Apache-2.0
#include "programme/offer_book.h"

#include <algorithm>
#include <nlohmann/json.hpp>

#include "base/files.h"

namespace ribwright::programme {
namespace {

constexpr std::size_t kLargest = 16'000'000;  // bytes; our own limit

Result<std::string> TextOf(const std::filesystem::path& path) {
  const auto bytes = ReadFileLimited(path, kLargest);
  if (!bytes) return Fail(bytes.error());
  return std::string(bytes->begin(), bytes->end());
}

}  // namespace

Result<OfferBook> OfferBook::Read(const std::filesystem::path& data_folder) {
  OfferBook book;
  book.folder_ = data_folder / "offers";
  const auto mappings = book.folder_ / "mappings.json";
  if (std::filesystem::exists(mappings)) {
    const auto text = TextOf(mappings);
    if (!text) return Fail(text.error());
    const auto json = nlohmann::json::parse(*text, nullptr, false);
    if (!json.is_array()) {
      return Fail(Code::kDataUnusable, "The remembered mappings cannot be read.", mappings.string(),
                  "Move the file away; mappings are then asked for again.");
    }
    for (const auto& one : json) {
      auto mapping = costing::MappingFromJson(one.dump(), mappings.string());
      if (!mapping) return Fail(mapping.error());
      book.mappings_.push_back(std::move(*mapping));
    }
  }
  const auto offers = book.folder_ / "offers.csv";
  if (!std::filesystem::exists(offers)) return book;
  const auto text = TextOf(offers);
  if (!text) return Fail(text.error());
  costing::PriceMapping own;
  for (const std::string& field : costing::PriceFields()) own.columns[field] = field;
  const auto list = costing::ReadPriceList(*text, offers.string(), own);
  if (!list) return Fail(list.error());
  if (!list->bad.empty()) {
    return Fail(Code::kDataUnusable, "A kept offer cannot be read: " + list->bad[0].reason,
                offers.string(), "Move the file away and import the lists again.");
  }
  book.offers_ = list->offers;
  return book;
}

std::optional<costing::PriceMapping> OfferBook::MappingOf(const std::string& supplier) const {
  for (const costing::PriceMapping& mapping : mappings_) {
    if (mapping.supplier == supplier) return mapping;
  }
  return std::nullopt;
}

Status OfferBook::Apply(const costing::PriceMapping& mapping, std::vector<costing::Offer> offers) {
  std::vector<costing::Offer> all;
  for (const costing::Offer& offer : offers_) {
    if (offer.supplier != mapping.supplier) all.push_back(offer);
  }
  std::move(offers.begin(), offers.end(), std::back_inserter(all));
  std::vector<costing::PriceMapping> mappings;
  for (const costing::PriceMapping& one : mappings_) {
    if (one.supplier != mapping.supplier) mappings.push_back(one);
  }
  mappings.push_back(mapping);
  std::string text = "[\n";
  for (std::size_t i = 0; i < mappings.size(); ++i) {
    text += (i > 0 ? ",\n" : "") + costing::MappingJson(mappings[i]);
  }
  text += "]\n";
  std::error_code made;
  std::filesystem::create_directories(folder_, made);
  if (made) {
    return Fail(Code::kOutputUnwritable, "The folder of offers cannot be made.", folder_.string(),
                "Check the data folder's permissions.");
  }
  Status written = WriteFileAtomically(folder_ / "offers.csv", costing::OffersCsv(all));
  if (!written) return written;
  written = WriteFileAtomically(folder_ / "mappings.json", text);
  if (!written) return written;
  offers_ = std::move(all);
  mappings_ = std::move(mappings);
  return {};
}

}  // namespace ribwright::programme
