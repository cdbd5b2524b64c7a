// SPDX-License-Identifier: Apache-2.0
// The US marbling scale: nine degrees of 100 sub-units each, and the chemical fat found at each.
//
// A marbling score here is the numeric coding in force since 7 February 2022 times 100:
// Practically Devoid 100-199, Traces 200-299, Slight 300-399, Small 400-499 ... Abundant 900-999
// (Beef Improvement Federation Guidelines, page Marbling score, read). Older papers code one higher
// (Slight = 400; memory): convert with ScoreFromOlderCoding before using their equations.
//
// Chemical fat (% of wet weight, longissimus at the 12th-13th rib) by degree comes from three
// tables that differ by up to 1.6 points: BIF means (read; Traces to Slightly Abundant), Savell,
// Cross & Smith 1986 (memory; Practically Devoid to Moderately Abundant) and the ether line of Dow
// et al. 2011 (read; fat = -3.08 + 0.017 score, Small00 = 400 inferred). FatFromScore joins their
// weighted means at mid-degree by straight lines: weight 1 for what was read, 1/2 for memory; the
// Dow line only from Slight up, where its sample lay. Practically Devoid rests on memory alone and
// Abundant on the Dow line extended beyond its sample. Extraction methods alone differ by about a
// point (FatFromScoreLine). Range: 100 <= score < 1000; outside is a programmer error.
#pragma once

#include <array>
#include <optional>
#include <string_view>

namespace ribwright::grade {

enum class Degree {
  kPracticallyDevoid,
  kTraces,
  kSlight,
  kSmall,
  kModest,
  kModerate,
  kSlightlyAbundant,
  kModeratelyAbundant,
  kAbundant,
};
inline constexpr int kDegrees = 9;
inline constexpr double kLowestScore = 100.0;
inline constexpr double kScoreEnd = 1000.0;  // scores lie below it

std::string_view DegreeText(Degree degree);  // "Slightly Abundant"
std::optional<Degree> DegreeFromText(std::string_view text);

Degree DegreeFromScore(double score);
// Sub-units 0 to under 100 within the degree.
double SubUnits(double score);
// degree at `units` sub-units (0..100), e.g. Slight, 50 -> 350.
double ScoreOf(Degree degree, double units);
// Numeric coding, 3.5 for Slight50.
double NumericCoding(double score);
double ScoreFromOlderCoding(double older_coding);

// % of wet weight by published table; nothing where the table has no row.
std::optional<double> BifFat(Degree degree);
std::optional<double> SavellFat(Degree degree);  // memory

enum class FatMethod { kEther, kFolch, kNmr };
// Lines of Dow et al. 2011; may be negative below Slight, which means nothing but that the line is
// used outside its sample.
double FatFromScoreLine(double score, FatMethod method);

// Our joined curve; rises with the score.
double FatFromScore(double score);

}  // namespace ribwright::grade
