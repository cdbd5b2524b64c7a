// SPDX-License-Identifier: Apache-2.0
// The house's offers and the mappings that it remembers, in DIR/offers of its data folder:
// offers.csv in our own columns, and mappings.json, one mapping a supplier.
//
// Read changes nothing. Apply puts a list's good lines in place of that supplier's earlier offers
// and remembers the mapping; each file is written whole and renamed, the offers first, so that a
// stop between the two leaves the new offers with the old mapping. Two programs that apply at the
// same moment: the last one's files stand. Errors: those of reading and writing. Not part of
// `backup` yet.
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "base/result.h"
#include "costing/price_list.h"

namespace ribwright::programme {

class OfferBook {
 public:
  // An absent folder is an empty book.
  static Result<OfferBook> Read(const std::filesystem::path& data_folder);

  const std::vector<costing::Offer>& offers() const { return offers_; }
  std::optional<costing::PriceMapping> MappingOf(const std::string& supplier) const;

  Status Apply(const costing::PriceMapping& mapping, std::vector<costing::Offer> offers);

 private:
  std::filesystem::path folder_;
  std::vector<costing::Offer> offers_;
  std::vector<costing::PriceMapping> mappings_;
};

}  // namespace ribwright::programme
