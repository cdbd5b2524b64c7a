// SPDX-License-Identifier: Apache-2.0
// Odds of where along the rib a face was cut, from the muscles that are seen.
//
// Published: longissimus measured at ribs 4-12, complexus 2-7, spinalis with multifidus 2-9 (Reuter
// et al. 2002, read; that a muscle ends there is an inference from the study's design); rhomboideus
// at most 10 cm2 at the tail end of rib 7 and gone in 11 of 45 (Yamashita et al. 2015, read); the
// longissimus gets longer and flatter toward the loin (Nakahashi et al. 2007, read; no values).
// Every probability and mean below is `assumed` around those facts, phantoms cannot prove anatomy,
// and the odds say so. Naive Bayes over bones 6..12 and "loin" (behind the last rib: strip loins
// show neither cap nor complexus, so a scale that ended at 12 would call every one of them 12).
// Features: complexus seen or not; rhomboideus seen or not; cap seen or not, and its share of the
// eye's area; the eye's axis ratio. Prior: equal odds a bone, loin as likely as two bones.
//
// Numbering: bones 6-12, or 1-7 counted from the chuck end (bone 6 = 1) or from the loin end (bone
// 12 = 1), as the house chooses; the basis always gives both for the likeliest.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <string_view>

#include "base/result.h"
#include "report/photo_report.h"

namespace ribwright::grade {

enum class RibNumbering { kBones, kFromChuckEnd, kFromLoinEnd };
// "bones", "from-chuck", "from-loin". Error: kBadOption.
Result<RibNumbering> RibNumberingFromText(std::string_view text);

inline constexpr int kFirstRib = 6;
inline constexpr int kLastRib = 12;
inline constexpr int kPlaces = 8;  // bones 6..12, loin

std::string PlaceText(int place, RibNumbering numbering);

struct RibEvidence {
  bool complexus = false;
  bool rhomboideus = false;
  bool spinalis = false;
  std::optional<double> cap_share;   // spinalis area / longissimus area
  std::optional<double> axis_ratio;  // of the longissimus
};
// Nothing where the face shows no longissimus, or a sirloin's gluteus medius.
std::optional<RibEvidence> EvidenceOf(const report::Face& face);

// Why EvidenceOf gives nothing; empty where it gives something.
std::string WhyNoRib(const report::Face& face);

using PlaceOdds = std::array<double, kPlaces>;  // sums to 1
PlaceOdds PlaceOddsFrom(const RibEvidence& evidence);
// Equal odds: nothing is known.
PlaceOdds PlacePrior();

// Probability of bones first..last.
double ChanceBetween(const PlaceOdds& odds, int first, int last);
report::Odds RibReport(const PlaceOdds& odds, const RibEvidence& evidence, RibNumbering numbering);

}  // namespace ribwright::grade
