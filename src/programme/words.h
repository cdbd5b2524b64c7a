// SPDX-License-Identifier: Apache-2.0
// The words in which muscles, signs and quantities are shown: the trade's, with the anatomist's
// name where both are in use. JSON keeps the names of report/photo_report.h.
#pragma once

#include <cstddef>
#include <initializer_list>
#include <string>
#include <string_view>

#include "report/photo_report.h"
#include "units/format.h"

namespace ribwright::programme {

std::string_view MuscleWords(report::MuscleName name);      // "eye", "cap", "complexus" ...
std::string_view MuscleLongWords(report::MuscleName name);  // "eye (longissimus)" ...
std::string_view SignWords(report::SignOf sign);            // "grain-fed" ...
// "7.9 px/mm (7.8 to 8.0), from the card", or that there is none and what that takes away.
std::string ScaleWords(const report::Scale& scale, units::System units);

// How coarse the flecks are, from the share of fleck area that lies over 1 mm wide: "fine",
// "medium" or "coarse", or "fine to medium" where the interval reaches over a limit. Under 15 % is
// fine, from 40 % coarse (assumed: no published limits are known to us). Empty where it is not
// known.
inline constexpr double kMediumFromPct = 15.0;
inline constexpr double kCoarseFromPct = 40.0;
std::string TextureWords(const Measured& coarseness);

// A sentence's "25 mm" and "0.1 mm2" as "25 mm" and "0.1 mm²", or "0.98 in" and "0.00016 in²".
std::string LengthsIn(const std::string& text, units::System units);

// A length or area that is missing for no other reason than that the photo has no scale.
bool LacksOnlyScale(const Measured& m);

// The one reason, where no published scale could be judged and all for the same; else empty.
std::string CommonReason(const report::Face& face);

// Whether the Japanese quality grade says no more than the marbling number: their odds differ by
// less than 0.05 in all (assumed). kJapaneseNote belongs beside either.
bool JapaneseRowsAlike(const report::Face& face);
inline constexpr std::string_view kJapaneseNote =
    "The Japanese number is read at other ribs and set for much richer cattle: low is normal.";

inline constexpr std::string_view kNotSafety = "It judges looks, not safety.";
// The grade scales of grade_odds: "us" -> "US quality grade". The key itself for an unknown one.
std::string GradeScaleWords(std::string_view key);

// A step of a scale as the trade says it: "slightly_abundant" -> "slightly abundant", and for the
// thirds and halves of a grade "choice-", "choice0", "choice+" -> "low", "average", "high choice".
std::string StepWords(std::string_view step);

// The muscle that stands for the face: longissimus, else gluteus medius, else none.
const report::Muscle* EyeOf(const report::Face& face);
const report::Sign* SignNamed(const report::Face& face, report::SignOf of);
const report::Muscle* MuscleOf(const report::Face& face, report::MuscleName name);

// The whole percent of a probability; never 0 or 100, but "<1 %" and ">99 %".
std::string PercentWords(double probability);

// The parts, one after the other.
std::string Joined(std::initializer_list<std::string_view> parts);

// Columns a terminal needs for UTF-8 text without wide or combining characters.
std::size_t ColumnsOf(std::string_view text);

}  // namespace ribwright::programme
