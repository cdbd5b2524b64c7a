// SPDX-License-Identifier: Apache-2.0
// The US quality grade of a steer or heifer carcass from marbling and maturity.
//
// Maturity is counted in units: A00 = 0, B00 = 100 ... E00 = 400, below 500. The grade matrix
// (degree x maturity group) is copied from a third-party chart of the USDA standard; B x Small and
// B x Slight = Standard agree with 61 FR 2891-2898 (1996), read. Split cells hold two grades, cut
// by a diagonal: within the cell the marbling needed rises by one degree as maturity advances by
// one group (memory), in a straight line (assumed).
//
// Maturity balance: mean of skeletal and lean maturity; where they differ by more than 40 units the
// mean moves 10 units toward skeletal; never over one group (100 units) from skeletal (read).
//
// Dark cutting lowers Prime, Choice and Select by up to one grade, Standard and Commercial by up to
// half a grade, Utility and below not (7 CFR Part 53 (q), read; the page is from the time Select
// was named Good). A part of a grade is taken off the position within the grade: each degree above
// the floor is a third in Prime and Commercial (read), elsewhere the position is linear in marbling
// (assumed). The next grade down is the next one in that maturity's column, Utility under Standard
// and Commercial. Official grades are given only by graders.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <utility>

#include "base/result.h"
#include "grade/us_marbling.h"

namespace ribwright::grade {

enum class UsGrade {
  kPrime,
  kChoice,
  kSelect,
  kStandard,
  kCommercial,
  kUtility,
  kCutter,
  kCanner,
};
inline constexpr int kUsGrades = 8;
std::string_view UsGradeText(UsGrade grade);

enum class MaturityGroup { kA, kB, kC, kD, kE };
inline constexpr int kMaturityGroups = 5;
inline constexpr double kMaturityEnd = 500.0;

struct Maturity {
  MaturityGroup group = MaturityGroup::kA;
  std::optional<double> units;  // within the group, 0 to under 100, where known
};
// "A" to "E", or with units: "B40". Error: kBadOption.
Result<Maturity> MaturityFromText(std::string_view text);
// 0 at A00. RIBWRIGHT_CHECKs 0 <= units < 500.
MaturityGroup GroupFromUnits(double maturity_units);
// By age: A 9-30, B 30-42, C 42-72, D 72-96, E over 96 months (approximate chronology, read); fewer
// than three permanent incisors or papers showing under 30 months give A (82 FR 57569, read).
// Nothing under 9 months: veal has its own standard.
std::optional<MaturityGroup> GroupFromAgeMonths(double months);
std::optional<MaturityGroup> GroupFromIncisors(int permanent_incisors);
// Units in, units out.
double BalancedMaturity(double skeletal_units, double lean_units);

// The matrix cell: both grades are equal in a whole cell; `better` is the younger, more marbled
// part.
struct Cell {
  UsGrade better;
  UsGrade lesser;
};
Cell CellOf(Degree degree, MaturityGroup group);
UsGrade GradeAt(double score, double maturity_units);

// Largest part of a grade that dark cutting may take off.
double LargestDarkReduction(UsGrade grade);
// `part` of a grade, 0..1; more than the grade's largest reduction counts as the largest.
UsGrade GradeAtDark(double score, double maturity_units, double part);
// "none", "1/3", "1/2", "2/3", "full", or a number from 0 to 1. Error: kBadOption.
Result<double> DarkCuttingFromText(std::string_view text);

// Thirds and halves of the grade at A maturity: "Prime+", "Prime0", "Prime-" ... "Standard-".
// Standard- is Practically Devoid 00-66, Standard0 up to Traces 33; Select- is Slight 00-49 (read).
std::string_view SubGradeAtA(double score);

}  // namespace ribwright::grade
