// SPDX-License-Identifier: Apache-2.0
#include "grade/us_quality.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <string>

#include "base/check.h"
#include "base/csv.h"

namespace ribwright::grade {
namespace {

constexpr std::array<std::string_view, kUsGrades> kGradeTexts = {
    "Prime", "Choice", "Select", "Standard", "Commercial", "Utility", "Cutter", "Canner"};

using enum UsGrade;
constexpr Cell Whole(UsGrade grade) { return {grade, grade}; }

// Rows: Practically Devoid ... Moderate, Slightly Abundant, above; columns A..E.
constexpr std::array<std::array<Cell, kMaturityGroups>, 8> kMatrix = {{
    {Whole(kStandard), Cell{kStandard, kUtility}, Cell{kUtility, kCutter}, Whole(kCutter),
     Cell{kCutter, kCanner}},
    {Whole(kStandard), Whole(kStandard), Whole(kUtility), Cell{kUtility, kCutter}, Whole(kCutter)},
    {Whole(kSelect), Whole(kStandard), Whole(kUtility), Whole(kUtility), Cell{kUtility, kCutter}},
    {Whole(kChoice), Whole(kStandard), Cell{kCommercial, kUtility}, Whole(kUtility),
     Whole(kUtility)},
    {Whole(kChoice), Whole(kChoice), Whole(kCommercial), Cell{kCommercial, kUtility},
     Whole(kUtility)},
    {Whole(kChoice), Whole(kChoice), Whole(kCommercial), Whole(kCommercial),
     Cell{kCommercial, kUtility}},
    {Whole(kPrime), Cell{kPrime, kChoice}, Whole(kCommercial), Whole(kCommercial),
     Whole(kCommercial)},
    // The chart's top row is "Slightly Abundant or more": its diagonal lies in Slightly Abundant.
    {Whole(kPrime), Whole(kPrime), Whole(kCommercial), Whole(kCommercial), Whole(kCommercial)},
}};

// Scores of the lowest and the end of `grade` at this maturity, to the unit.
std::pair<double, double> Span(UsGrade grade, double maturity_units) {
  double low = kScoreEnd;
  double end = kLowestScore;
  for (double score = kLowestScore; score < kScoreEnd; score += 1.0) {
    if (GradeAt(score, maturity_units) != grade) continue;
    low = std::min(low, score);
    end = std::max(end, score + 1.0);
  }
  return {low, end};
}

UsGrade NextDown(UsGrade grade, double low, double maturity_units) {
  if (grade == kStandard || grade == kCommercial) return kUtility;
  return low > kLowestScore ? GradeAt(low - 1.0, maturity_units) : grade;
}

}  // namespace

std::string_view UsGradeText(UsGrade grade) { return kGradeTexts[static_cast<std::size_t>(grade)]; }

Result<Maturity> MaturityFromText(std::string_view text) {
  const auto fail = [&] {
    return Fail(Code::kBadOption,
                "The maturity \"" + std::string(text) + "\" is not one of A to E.", "--maturity",
                "Give A, B, C, D or E, or a group with units such as B40.");
  };
  if (text.empty() || text[0] < 'A' || text[0] > 'E') return fail();
  Maturity maturity;
  maturity.group = static_cast<MaturityGroup>(text[0] - 'A');
  if (text.size() > 1) {
    const auto units = NumberFromText(text.substr(1));
    if (!units || *units < 0.0 || *units >= 100.0) return fail();
    maturity.units = *units;
  }
  return maturity;
}

MaturityGroup GroupFromUnits(double maturity_units) {
  RIBWRIGHT_CHECK(maturity_units >= 0.0 && maturity_units < kMaturityEnd);
  return static_cast<MaturityGroup>(static_cast<int>(maturity_units / 100.0));
}

std::optional<MaturityGroup> GroupFromAgeMonths(double months) {
  if (!(months >= 9.0)) return std::nullopt;
  if (months < 30.0) return MaturityGroup::kA;
  if (months < 42.0) return MaturityGroup::kB;
  if (months < 72.0) return MaturityGroup::kC;
  if (months <= 96.0) return MaturityGroup::kD;
  return MaturityGroup::kE;
}

std::optional<MaturityGroup> GroupFromIncisors(int permanent_incisors) {
  if (permanent_incisors < 0 || permanent_incisors >= 3) return std::nullopt;
  return MaturityGroup::kA;
}

double BalancedMaturity(double skeletal_units, double lean_units) {
  const double difference = lean_units - skeletal_units;
  double overall = 0.5 * (skeletal_units + lean_units);
  if (std::abs(difference) > 40.0) overall -= std::copysign(10.0, difference);
  return std::clamp(overall, skeletal_units - 100.0, skeletal_units + 100.0);
}

Cell CellOf(Degree degree, MaturityGroup group) {
  const auto row = std::min<std::size_t>(static_cast<std::size_t>(degree), 7);
  return kMatrix[row][static_cast<std::size_t>(group)];
}

UsGrade GradeAt(double score, double maturity_units) {
  const MaturityGroup group = GroupFromUnits(maturity_units);
  const Cell cell = CellOf(DegreeFromScore(score), group);
  const double age = maturity_units - 100.0 * static_cast<double>(group);
  return SubUnits(score) >= age ? cell.better : cell.lesser;
}

double LargestDarkReduction(UsGrade grade) {
  switch (grade) {
    case kPrime:
    case kChoice:
    case kSelect:
      return 1.0;
    case kStandard:
    case kCommercial:
      return 0.5;
    default:
      return 0.0;
  }
}

UsGrade GradeAtDark(double score, double maturity_units, double part) {
  RIBWRIGHT_CHECK(part >= 0.0 && part <= 1.0);
  const UsGrade grade = GradeAt(score, maturity_units);
  const double taken = std::min(part, LargestDarkReduction(grade));
  if (taken == 0.0) return grade;
  const auto [low, end] = Span(grade, maturity_units);
  const bool in_thirds = grade == kPrime || grade == kCommercial;
  const double width = in_thirds ? 300.0 : end - low;
  const double position = std::min((score - low) / width, 1.0);
  return position - taken < 0.0 ? NextDown(grade, low, maturity_units) : grade;
}

Result<double> DarkCuttingFromText(std::string_view text) {
  if (text == "none") return 0.0;
  if (text == "1/3") return 1.0 / 3.0;
  if (text == "1/2") return 0.5;
  if (text == "2/3") return 2.0 / 3.0;
  if (text == "full") return 1.0;
  const auto number = NumberFromText(text);
  if (number && *number >= 0.0 && *number <= 1.0) return *number;
  return Fail(Code::kBadOption, "The dark cutting \"" + std::string(text) + "\" cannot be used.",
              "--dark-cutting",
              "Give none, 1/3, 1/2, 2/3, full, or the part of a grade from 0 to 1.");
}

std::string_view SubGradeAtA(double score) {
  switch (DegreeFromScore(score)) {
    case Degree::kAbundant:
      return "Prime+";
    case Degree::kModeratelyAbundant:
      return "Prime0";
    case Degree::kSlightlyAbundant:
      return "Prime-";
    case Degree::kModerate:
      return "Choice+";
    case Degree::kModest:
      return "Choice0";
    case Degree::kSmall:
      return "Choice-";
    case Degree::kSlight:
      return score < 350.0 ? "Select-" : "Select+";
    case Degree::kTraces:
    case Degree::kPracticallyDevoid:
      break;
  }
  if (score >= 234.0) return "Standard+";
  return score >= 167.0 ? "Standard0" : "Standard-";
}

}  // namespace ribwright::grade
