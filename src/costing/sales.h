// SPDX-License-Identifier: Apache-2.0
// The till's export, and the words on the menu.
//
// Sales: CSV of any head, read by a mapping (fields day, dish, sold, refired, comped, wasted,
// covers; day, dish and sold are needed; columns the list lacks count as 0). Bad lines are named
// with their reason and cost only themselves; nothing is booked by reading. Sums by dish, and by
// ISO week for the demand history (week_order.h).
//
// Menu claims: each claim word (grade, breed, feed, place, days aged) of a dish is backed by a
// document of the lots that the dish is cut from, or marked not backed. All lots must back it: a
// dish is as good as its weakest lot. Compared without regard to case and blanks; days aged are
// backed by at least as many. Errors: kDataUnusable. Thread-safe.
#pragma once

#include <map>
#include <string>
#include <string_view>
#include <vector>

#include "base/result.h"
#include "costing/loose_csv.h"
#include "costing/price_list.h"
#include "costing/week_order.h"
#include "units/utc_time.h"

namespace ribwright::costing {

struct SalesMapping {
  char decimal = '.';
  DayOrder day_order = DayOrder::kYmd;
  std::map<std::string, std::string> columns;
};

struct Sale {
  units::Day day{};
  std::string dish;
  double sold = 0.0;
  double refired = 0.0;
  double comped = 0.0;
  double wasted = 0.0;
  double covers = 0.0;
  double Used() const { return sold + refired + comped + wasted; }
};

struct SalesBook {
  std::vector<Sale> sales;
  std::vector<BadLine> bad;
};

Result<SalesBook> ReadSales(std::string_view text, const std::string& name,
                            const SalesMapping& mapping);

// Portions of a dish that a week used, with the week's covers (the largest covers of each day are
// that day's); weeks without covers are left out.
std::vector<PastWeek> HistoryOf(const std::vector<Sale>& sales, std::string_view dish);

struct MenuClaim {
  std::string kind;  // grade, breed, feed, place, days
  std::string word;  // "grain fed", "28"
};
struct LotPaper {
  std::string lot;
  std::string kind;
  std::string word;
  std::string document;  // number or file name
};
struct ClaimBacking {
  MenuClaim claim;
  bool backed = false;
  std::string because;  // documents, or what is missing
};
std::vector<ClaimBacking> BackMenuClaims(const std::vector<MenuClaim>& claims,
                                         const std::vector<std::string>& lots,
                                         const std::vector<LotPaper>& papers);

}  // namespace ribwright::costing
