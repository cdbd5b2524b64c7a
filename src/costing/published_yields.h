// SPDX-License-Identifier: Apache-2.0
// Published yields that stand in until the house's own tests replace them.
//
// Cutting: shares of the initial mass of bone-in rib and strip loin and boneless top sirloin after
// 14 to 35 days, wet or dry (dashdorj2016; carried in data/cutting_yields.csv with source and
// status). What the table leaves unlisted (bone, saw dust, cuts that it forgot) is the difference
// to 100 and is named so. Cooking: data/cooking_yields.csv.
//
// SharesOf sums the parts as listed: where the source's own printed total disagrees (strip loin,
// wet, 28 days; top sirloin) the parts are followed. PublishedStages turns shares of the initial
// mass into stages of a served-cost chain (served_cost.h), each a share of what stands before it:
// purge; ageing shrink; trim (bone and unlisted, fat, waste, trim to grind). The source gives means
// only: a piece may differ by 0.6 to 1.5 times each share, nine times in ten (`assumed`).
// Errors: kDataUnusable for a cut or day that is not listed. Thread-safe.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "base/result.h"
#include "costing/served_cost.h"

namespace ribwright::costing {

struct PublishedShares {  // percent of the initial mass
  double steaks = 0.0;    // saleable as steaks
  double grind = 0.0;     // saleable as stew meat or lean trimmings
  double fat = 0.0;
  double waste = 0.0;
  double shrink = 0.0;
  double purge = 0.0;
  double Saleable() const { return steaks + grind; }
  double Listed() const { return steaks + grind + fat + waste + shrink + purge; }
  double Unlisted() const { return 100.0 - Listed(); }
};

// cut: rib, strip, sirloin; ageing: wet, dry; days: 14, 21, 28, 35.
Result<PublishedShares> SharesOf(std::string_view cut, std::string_view ageing, int days);

inline constexpr double kPieceLow = 0.6;   // assumed
inline constexpr double kPieceHigh = 1.5;  // assumed

Spread PublishedSpread(double share, std::string source, std::string stream);

Result<std::vector<Stage>> PublishedStages(std::string_view cut, std::string_view ageing, int days);

// Cooked mass over raw mass in percent; the cut and way of cooking as the table names them.
Result<double> PublishedCookingYield(std::string_view cut, std::string_view method);

// The loss in cooking as a stage of one part, +- a third of the loss nine times in ten (assumed).
Result<Stage> PublishedCooking(std::string_view cut, std::string_view method);

}  // namespace ribwright::costing
