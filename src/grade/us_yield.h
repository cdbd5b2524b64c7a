// SPDX-License-Identifier: Apache-2.0
// US yield grade and retail cuts from carcass data (customary units, as the standard is written).
//
//   YG = 2.50 + 2.50 fat(in) + 0.20 KPH(%) + 0.0038 HCW(lb) - 0.32 REA(in2)   7 CFR 54.105, read
//   class = whole part, never rounded up, 1 to 5
//   short cut: 2.0 + 2.5 fat, then steps from 600 lb, 11.0 in2 and 3.5 % (memory); it may differ
//   from the equation by about 0.15
//   boneless closely trimmed retail cuts of round, loin, rib and chuck, % of carcass:
//   51.34 - 5.784 fat - 0.0093 HCW - 0.462 KPH + 0.740 REA   Murphey et al. 1960, memory; eight lot
//   means printed in 1965 agree within 0.07
// fat: single depth over the ribeye, square to the surface, 3/4 of its length from the chine,
// adjusted for unusual fat elsewhere. REA: longissimus alone, 12th-13th rib.
//
// YieldOdds needs the hot carcass weight. Fat depth and ribeye area come from the carcass data,
// else from the face (scale known), with doubt added (assumed): area 5 % for where and how square
// the cut is (published 9 % and 6.9 % at most) plus 15 % x P(the face is off the 11th-12th rib);
// fat 2 mm, since trimmed cover reads too thin. KPH unknown: 2.5 % with standard deviation 0.7
// (assumed).
#pragma once

#include <string>

#include "grade/carcass.h"
#include "report/photo_report.h"

namespace ribwright::grade {

struct YieldInputs {
  double fat_in = 0.0;
  double kph_pct = 0.0;
  double hcw_lb = 0.0;
  double rea_in2 = 0.0;
};
double YieldGrade(const YieldInputs& inputs);
int YieldClass(double yield_grade);
double PreliminaryYieldGrade(double fat_in);
double ShortCutYieldGrade(const YieldInputs& inputs);
double RetailCutsPct(const YieldInputs& inputs);
// The yield class whose band of retail cuts holds `pct`: above 52.3 is 1, then 2.3 points a class.
int ClassFromRetailCuts(double pct);

// Classes "1".."5"; unknown, with the reason as basis, where data are missing.
report::Odds YieldOdds(const Carcass& carcass, const Measured& face_ribeye_cm2,
                       const Measured& face_fat_mm, double chance_at_grading_rib);

}  // namespace ribwright::grade
