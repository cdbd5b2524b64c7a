// SPDX-License-Identifier: Apache-2.0
// Chemical fat (% of wet weight) of a muscle from the area share of its visible fat.
//
// Two ways, which disagree by about three points at the lean end and meet near half fat:
//   line          fat = 0.793 area - 3.04        Kuchida et al. 2000 (read): longissimus, 6th-7th
//                 rib, n = 158, area 6.1-56.8 %, r2 0.96. Negative under 3.8 % area, so it says
//                 nothing about lean beef. By station: 0.741 area - 2.22, 0.782 area - 2.54.
//   mass balance  fat = (a rf x + (1 - a) rl h) / (a rf + (1 - a) rl), a = area share, rf and rl
//   the
//                 densities of fatty tissue and lean (weight.h), x = 0.85 the fat in visible fat,
//                 h = 1 % fat in lean that the eye does not see (both assumed). Area share is taken
//                 as volume share, which holds for flecks without a favoured direction.
// LineWeight(area) says how far the line is believed: 0 under 6.1 % (its range), rising smoothly to
// 1 at 30 % (assumed: at its lean edge the line would call Small beef Traces, so its threshold must
// have counted fat more freely than ours there), and falling to 1/2 from 56.8 to 70 %, past its
// range. MedianFat joins the two by that weight and rises with area everywhere.
//
// Spread of the answer: the line's residual, 1.9 points (assumed: a quarter of the fat range as its
// standard deviation, times sqrt(1 - r2)); the mass balance's, 25 % of the value (assumed); between
// extraction methods 0.5 point (half the one point by which published methods differ, read); all
// widened by half on a muscle other than the longissimus.
#pragma once

#include <optional>
#include <string>

#include "grade/doubt.h"
#include "units/measured.h"

namespace ribwright::grade {

inline constexpr double kLineLowestArea = 6.1;    // %
inline constexpr double kLineHighestArea = 56.8;  // %

enum class AreaLine { kAll, kStationA, kStationB };
double FatFromAreaLine(double area_pct, AreaLine line = AreaLine::kAll);
// `unseen_pct`: fat in the lean between the flecks, % of its weight.
double FatFromAreaBalance(double area_pct, double unseen_pct = 1.0);
double LineWeight(double area_pct);
// 0 <= area_pct <= 100.
double MedianFat(double area_pct);
// The area share at which MedianFat is `fat_pct`; fat_pct within MedianFat(0)..MedianFat(100).
double AreaFromMedianFat(double fat_pct);

struct ImfEstimate {
  Measured imf_pct;
  bool line_out_of_range = false;  // part of the interval lies outside the line's fitted range
  std::string used;                // "mass balance", "line and mass balance", "line"
};
ImfEstimate EstimateImf(const SplitNormal& area_pct, bool is_longissimus);

}  // namespace ribwright::grade
