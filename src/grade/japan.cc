// SPDX-License-Identifier: Apache-2.0
#include "grade/japan.h"

#include <algorithm>
#include <array>
#include <string_view>

#include "base/check.h"

namespace ribwright::grade {
namespace {

struct Range {
  int low;
  int high;
};
// Item grade 5, 4, 3, 2.
constexpr std::array kLeanColour = {Range{3, 5}, Range{2, 6}, Range{1, 6}, Range{1, 7}};
constexpr std::array kFatColour = {Range{1, 4}, Range{1, 5}, Range{1, 6}, Range{1, 7}};
constexpr std::array<std::string_view, kHighestBms> kOldIndex = {"0", "0+", "1-", "1", "1+", "2-",
                                                                 "2", "2+", "3-", "3", "4",  "5"};

int BestRange(const std::array<Range, 4>& ranges, int number) {
  int grade = 5;
  for (const Range& range : ranges) {
    if (number >= range.low && number <= range.high) return grade;
    --grade;
  }
  return 1;
}

}  // namespace

int MarblingGradeFromBms(int bms) {
  RIBWRIGHT_CHECK(bms >= 1 && bms <= kHighestBms);
  if (bms >= 8) return 5;
  if (bms >= 5) return 4;
  return bms >= 3 ? 3 : bms;
}

int LeanColourGradeFromBcs(int bcs) { return BestRange(kLeanColour, bcs); }
int FatColourGradeFromBfs(int bfs) { return BestRange(kFatColour, bfs); }

int QualityGrade(int marbling, int lean_colour, int firmness, int fat_colour) {
  return std::min({marbling, lean_colour, firmness, fat_colour});
}

std::string OldMarblingIndex(int bms) {
  RIBWRIGHT_CHECK(bms >= 1 && bms <= kHighestBms);
  return std::string(kOldIndex[static_cast<std::size_t>(bms - 1)]);
}

double CrudeFatFromBms(double bms) { return 3.018 * bms + 15.354; }

double JapaneseYieldScore(const JapaneseYieldInputs& in) {
  return 67.37 + 0.130 * in.longissimus_cm2 + 0.667 * in.rib_thickness_cm -
         0.025 * in.left_cold_side_kg - 0.896 * in.subcutaneous_fat_cm +
         (in.beef_breed ? 2.049 : 0.0);
}

char JapaneseYieldLetter(double score) {
  if (score >= 72.0) return 'A';
  return score >= 69.0 ? 'B' : 'C';
}

}  // namespace ribwright::grade
