// SPDX-License-Identifier: Apache-2.0
// Stock: what lies where, how old, how much of it there should be, and what a count found.
//
// A line of stock is one cut at one location. Ages are whole days, floor of (now - received) and of
// the time in the ageing room. Par is the mass that should be there; `short_by` is what is missing
// to it, at least zero. A count's variance is found minus ledger: in grams, and in money as what of
// the piece's cost is lost, or back where an earlier count had lost it (rounded half away from
// zero; mass that the books never held is worth nothing); money of several currencies stays apart.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "ledger/piece.h"
#include "units/mass.h"
#include "units/money.h"
#include "units/utc_time.h"

namespace ribwright::ledger {

// Upper ends of the age bands of a stock line, in days since received; the last band is open.
// Limits are `assumed`: a week, two, the 35 days at which public guidance for ageing ends, then 60
// and 100 days (the trade's "noticed" and "strong").
inline constexpr std::array<int, 5> kAgeBandDays = {7, 14, 35, 60, 100};

struct AgeBand {
  std::int64_t pieces = 0;
  units::Mass mass;
};

struct StockLine {
  std::string cut;
  std::string location;
  std::int64_t pieces = 0;
  units::Mass mass;
  int oldest_days = 0;  // since received
  std::array<AgeBand, kAgeBandDays.size() + 1> bands;
  std::vector<units::Money> cost;  // one a currency
  std::int64_t pieces_without_cost = 0;
  std::optional<units::Mass> par;
  units::Mass short_by;  // zero where there is no par
};

struct Par {
  std::string cut;
  std::string location;
  units::Mass mass;
  std::string user;  // who set it
  units::UtcTime set;
};

struct CountedLine {
  PieceId piece;
  std::string code;
  units::Mass ledger;  // before the count
  std::string ledger_location;
  std::optional<units::Mass> found;
  units::Mass variance;                        // found - ledger
  std::optional<units::Money> money_variance;  // none: cost not known
  std::string reason;
};
struct StockCount {
  std::int64_t event = 0;
  std::string location;
  units::UtcTime happened;
  std::string user;
  bool whole = false;
  std::vector<CountedLine> lines;
  units::Mass variance;
  std::vector<units::Money> money_variance;  // one a currency
  std::int64_t lines_without_cost = 0;
};

// One line of a count against the piece as it was.
CountedLine CompareWithCount(const Piece& before, std::optional<units::Mass> found,
                             std::string reason);
// Sums up `lines`; fills variance, money_variance, lines_without_cost.
void SumUp(StockCount& count);

int AgeDays(units::UtcTime since, units::UtcTime now);
std::size_t AgeBandOf(int days);

}  // namespace ribwright::ledger
