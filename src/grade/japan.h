// SPDX-License-Identifier: Apache-2.0
// Japanese carcass standard: marbling number (BMS 1-12), item grades 5..1, yield score and letter.
//
// Quality grade = the lowest of four items (JMGA, read): marbling (BMS 8-12 is 5, 5-7 is 4, 3-4 is
// 3, 2 is 2, 1 is 1), lean colour (BCS 3-5, 2-6, 1-6, 1-7, read), firmness and texture by eye, fat
// colour (BFS 1-4, 1-5, 1-6, 1-7; memory). The face is between the 6th and 7th ribs.
//
// Yield score = 67.37 + 0.130 longissimus(cm2) + 0.667 rib thickness(cm) - 0.025 left cold side(kg)
//               - 0.896 subcutaneous fat(cm) (+ 2.049 for beef breeds); A from 72, B from 69, else
//               C.
// One page prints 0.869 for the fat term: a transposition; the reprint of the tables and memory
// agree on 0.896. Heavy seam fat or a thin thigh may lower the letter by one: not seen here.
//
// Crude fat (% of wet weight) = 3.018 BMS + 15.354 (Japanese Black, n = 105, r 0.721, read). The
// scale drifted by about ten points in seven years, so this is never shown without a wide band.
#pragma once

#include <string>

namespace ribwright::grade {

inline constexpr int kHighestBms = 12;

// 1 <= bms <= 12.
int MarblingGradeFromBms(int bms);
// 1..7; any other number grades 1, as "outside the others" does.
int LeanColourGradeFromBcs(int bcs);
int FatColourGradeFromBfs(int bfs);  // ranges: memory
int QualityGrade(int marbling, int lean_colour, int firmness, int fat_colour);
// The marbling index of older papers: 0, 0+, 1-, 1, 1+, 2-, 2, 2+, 3-, 3, 4, 5 for BMS 1..12.
std::string OldMarblingIndex(int bms);

double CrudeFatFromBms(double bms);

struct JapaneseYieldInputs {
  double longissimus_cm2 = 0.0;
  double rib_thickness_cm = 0.0;
  double left_cold_side_kg = 0.0;
  double subcutaneous_fat_cm = 0.0;
  bool beef_breed = true;
};
double JapaneseYieldScore(const JapaneseYieldInputs& inputs);
char JapaneseYieldLetter(double score);

}  // namespace ribwright::grade
