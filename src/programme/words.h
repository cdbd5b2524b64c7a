// SPDX-License-Identifier: Apache-2.0
// The words in which muscles, signs and quantities are shown: the trade's, with the anatomist's
// name where both are in use. JSON keeps the names of report/photo_report.h.
#pragma once

#include <cstddef>
#include <initializer_list>
#include <string>
#include <string_view>

#include "report/photo_report.h"

namespace ribwright::programme {

std::string_view MuscleWords(report::MuscleName name);      // "eye", "cap", "complexus" ...
std::string_view MuscleLongWords(report::MuscleName name);  // "eye (longissimus)" ...
std::string_view SignWords(report::SignOf sign);            // "grain-fed" ...
std::string ScaleWords(const report::Scale& scale);
// The grade scales of grade_odds: "us" -> "US quality grade". The key itself for an unknown one.
std::string GradeScaleWords(std::string_view key);

// A step of a scale as the trade says it: "slightly_abundant" -> "slightly abundant", and for the
// thirds and halves of a grade "choice-", "choice0", "choice+" -> "low", "average", "high choice".
std::string StepWords(std::string_view step);

// The muscle that stands for the face: longissimus, else gluteus medius, else none.
const report::Muscle* EyeOf(const report::Face& face);
const report::Muscle* MuscleOf(const report::Face& face, report::MuscleName name);

// The whole percent of a probability, "<1 %" and ">99 %" at the ends.
std::string PercentWords(double probability);

// The parts, one after the other.
std::string Joined(std::initializer_list<std::string_view> parts);

// Columns a terminal needs for UTF-8 text without wide or combining characters.
std::size_t ColumnsOf(std::string_view text);

}  // namespace ribwright::programme
