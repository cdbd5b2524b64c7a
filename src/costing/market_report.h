// SPDX-License-Identifier: Apache-2.0
// The public daily boxed-beef report (USDA AMS, LM_XB403 and its weekly sisters), read from files
// that the house downloaded: the data service's JSON (an array of {reportSection, results} or one
// object with results; every value a text) or CSV with the same field names.
//
// What the file holds, and what is done with it (usda-lm-xb403, usda-mars-fields):
//   prices are USD per 100 lb;  thousands commas are allowed in any number;
//   .00 or 0.00, or no trades, means not traded: never a price;
//   "Round, knuckle, peeled (167A  4)" is name, item number and fat limit; either may be missing;
//   one item may stand twice (112A light and heavy): the key is item and whole description;
//   the same key twice on one day is one row, merged by pounds: sum(p w) / sum(w).
// Lines that cannot be read are listed with number and reason; the rest is kept. A row whose mean
// lies outside its own low and high is bad. Errors of the whole: kDataUnusable. Thread-safe.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/result.h"
#include "costing/loose_csv.h"
#include "units/utc_time.h"

namespace ribwright::costing {

struct MarketPrice {
  units::Day day{};
  std::string section;      // "Choice Cuts"
  std::string description;  // as printed
  std::string item;         // "167A", may be empty
  std::string fat_limit;    // "4", may be empty
  std::int64_t trades = 0;
  double pounds = 0.0;
  double low = 0.0;   // USD per 100 lb
  double high = 0.0;  // USD per 100 lb
  double mean = 0.0;  // weighted, USD per 100 lb
  double PerKg() const;
};

struct CutoutValues {
  units::Day day{};
  double choice = 0.0;  // USD per 100 lb
  double select = 0.0;
  double Spread() const { return choice - select; }
};

struct MarketReport {
  std::vector<MarketPrice> prices;  // traded rows, merged
  std::vector<CutoutValues> cutouts;
  std::size_t not_traded = 0;
  std::vector<BadLine> bad;  // line: of the file (CSV), or the row's number in its section (JSON)
};

Result<MarketReport> ReadMarketReport(std::string_view text, const std::string& name);

struct ItemText {
  std::string name;
  std::string item;
  std::string fat_limit;
};
ItemText SplitItem(std::string_view description);

// The mean of the last `days` values, each as printed.
double SimpleAverage(const std::vector<double>& values);
inline constexpr double kPoundsPerLoad = 40'000.0;  // usda-lm-xb403

}  // namespace ribwright::costing
