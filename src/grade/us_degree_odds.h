// SPDX-License-Identifier: Apache-2.0
// Odds over the US marbling scale from the visible fat area share of a photographed eye.
//
//   p(score | photo)  ~  prior(score) * mean over the measured share's distribution of
//                        Normal(ln(area + 1); ln(AreaFromScore(score) + 1), log_sd)
// AreaFromScore: the published fat of a score (us_marbling.h) taken back to area by imf.h's median
// curve: Slight about 3 %, Small 5 %, Moderate 9 %, Slightly Abundant 12 %. No published table
// gives area share by degree, so this bridge is `assumed` however sound its parts are.
//
// log_sd carries what the measured interval does not know, each part a standard deviation of
// ln(area + 1), assumed: 0.25 between cameras, thresholds and sides of a cut; 0.20 fat of carcasses
// of one degree (Dow 2011: r2 0.86 of fat on score); 0.25 the bridge itself; 0.20 x P(the face is
// not the 11th-12th rib), since grading is done between the 12th and 13th; 0.25 where the muscle is
// not the longissimus. With one log_sd for all scores, more marbling never lowers the expected
// degree.
//
// At last kAstray of the odds returns to the prior: a photo whose eye was taken wrongly, or whose
// side was graded by another face, tells nothing (assumed; on the development photographs, whose
// grades are only named by their source, it raised the mean log score from -1.06 to -1.01, where
// equal odds for three grades score -1.10).
//
// prior (assumed): between equal odds and a published grader's mix of 1.1 % Prime, 50.0
// Choice, 43.8 Select, 5.1 other (read, IR13; an old mix), since the kitchen buys better than the
// average side.
#pragma once

#include <array>
#include <vector>

#include "grade/doubt.h"
#include "grade/us_marbling.h"

namespace ribwright::grade {

// Sums to 1.
inline constexpr std::array<double, kDegrees> kDegreePrior = {0.02, 0.06, 0.22, 0.22, 0.16,
                                                              0.12, 0.10, 0.06, 0.04};

inline constexpr double kAstray = 0.10;

struct AreaSpread {
  double camera = 0.25;
  double carcass = 0.20;
  double bridge = 0.25;
  double off_the_grading_rib = 0.20;  // times the probability of being off it
  double other_muscle = 0.25;
};
double LogSd(const AreaSpread& spread, double chance_at_grading_rib, bool is_longissimus);

double AreaFromScore(double score);

// Probability of each score step: scores 100 + 5 (i + 1/2), i = 0..179; sums to 1.
struct ScoreOdds {
  static constexpr int kSteps = 180;
  static constexpr double kStep = 5.0;
  std::vector<double> p;
  static double Score(int i) { return kLowestScore + kStep * (i + 0.5); }
  double Mean() const;
};
ScoreOdds ScoreOddsFromArea(const SplitNormal& area_pct, double log_sd);

}  // namespace ribwright::grade
