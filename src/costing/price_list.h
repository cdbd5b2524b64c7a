// SPDX-License-Identifier: Apache-2.0
// A supplier's price list, read by a mapping that the house remembers.
//
// A mapping names, for each field that the house wants, the column of the list that holds it;
// item or name, and price, are needed. Lines that cannot be used are reported with number and
// reason and the rest is kept for confirmation: reading changes nothing anywhere. A line is bad
// when its price is not above zero or no number, its unit is not known, a weight range, day or
// whole number cannot be read, the validity ends before it begins, or the same offer (item, name,
// claims, piece range, first day) stood on a line before.
//
// GuessMapping proposes columns by their headings; a person confirms. Errors of the whole:
// kDataUnusable. Thread-safe.
#pragma once

#include <map>
#include <string>
#include <string_view>
#include <vector>

#include "base/result.h"
#include "costing/loose_csv.h"
#include "costing/loose_day.h"
#include "costing/offer.h"

namespace ribwright::costing {

struct PriceMapping {
  std::string supplier;
  units::Currency currency = *units::Currency::FromText("EUR");
  Per per = Per::kKg;  // where no column says
  char decimal = '.';
  DayOrder day_order = DayOrder::kYmd;
  std::map<std::string, std::string> columns;  // field -> heading
};

// Fields that a mapping may name: supplier (else the mapping's own), item, name, price, per,
// currency, bone, grade, breed, feed, aged_days, fat_limit_mm, piece_low, piece_high (kg, or lb
// where per is lb), freight, minimum, valid_from, valid_to.
const std::vector<std::string>& PriceFields();

struct PriceList {
  std::vector<Offer> offers;
  std::vector<std::size_t> lines;  // of each offer
  std::vector<BadLine> bad;        // by line
};

PriceMapping GuessMapping(const std::vector<std::string>& header, std::string supplier);
Result<PriceList> ReadPriceList(std::string_view text, const std::string& name,
                                const PriceMapping& mapping);

// One line an offer, in our own columns, metric; read back by the same fields.
std::string OffersCsv(const std::vector<Offer>& offers);

std::string MappingJson(const PriceMapping& mapping);
Result<PriceMapping> MappingFromJson(std::string_view text, const std::string& name);

}  // namespace ribwright::costing
