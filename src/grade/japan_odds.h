// SPDX-License-Identifier: Apache-2.0
// Odds over the Japanese marbling number, quality grade and yield letter from a face.
//
//   p(BMS | photo)  ~  prior(BMS) * mean over the measured share of Normal(area; AreaFromBms, sd)
// AreaFromBms from 4 up is the regression of area share on BMS of 761 Japanese Black carcasses,
// 6th-7th rib (read: area 48.88, SD 7.10, range 26.8-66.4; BMS 6.10, SD 1.86; r 0.84):
//   area = 48.88 + 0.84 * 7.10 / 1.86 * (BMS - 6.10), residual SD 7.10 sqrt(1 - r^2) = 3.85,
// which is the printed "about 20 points of area in one number" (plus and minus 2.6 SD). Those
// carcasses hold no lean beef, so BMS 1, 2 and 3 are placed at 7, 20 and 33 % (assumed; a trade
// page gives 21 % fat, near 30 % area, as the floor of BMS 3). sd = 7.5 points: the residual, 5.5
// for the drift of the scale (ten points of fat at one number in seven years, read, spread evenly)
// and 3.4 for other breeds, cameras and thresholds (assumed). Off the 6th-7th rib 5 points more,
// times the probability; 4 more for a muscle other than the longissimus (assumed). Prior: equal
// odds for each number (assumed).
//
// The grade odds are of the marbling item, lowered by the other items only where the carcass data
// state them; firmness and texture cannot be seen in a photo. Official grades are given only by
// graders.
#pragma once

#include <array>

#include "grade/carcass.h"
#include "grade/doubt.h"
#include "grade/japan.h"

namespace ribwright::grade {

double AreaFromBms(int bms);
double BmsAreaSd(double chance_at_6th_7th_rib, bool is_longissimus);
using BmsOdds = std::array<double, kHighestBms>;  // sums to 1
BmsOdds BmsOddsFromArea(const SplitNormal& area_pct, double sd);

report::Odds BmsReport(const BmsOdds& odds);
report::Odds JapaneseGradeOdds(const BmsOdds& odds, const Carcass* carcass);
// Letters A, B, C; unknown, with the reason as basis, where data are missing.
report::Odds JapaneseYieldOdds(const Carcass& carcass, const Measured& face_longissimus_cm2,
                               double chance_at_6th_7th_rib);

}  // namespace ribwright::grade
