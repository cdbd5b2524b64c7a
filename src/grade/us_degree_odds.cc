// SPDX-License-Identifier: Apache-2.0
#include "grade/us_degree_odds.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "base/check.h"
#include "grade/imf.h"

namespace ribwright::grade {
namespace {

std::array<double, ScoreOdds::kSteps> LogAreas() {
  std::array<double, ScoreOdds::kSteps> logs{};
  for (int i = 0; i < ScoreOdds::kSteps; ++i) {
    logs[static_cast<std::size_t>(i)] = std::log1p(AreaFromScore(ScoreOdds::Score(i)));
  }
  return logs;
}

}  // namespace

double LogSd(const AreaSpread& spread, double chance_at_grading_rib, bool is_longissimus) {
  const double off = (1.0 - chance_at_grading_rib) * spread.off_the_grading_rib;
  const double other = is_longissimus ? 0.0 : spread.other_muscle;
  return std::sqrt(spread.camera * spread.camera + spread.carcass * spread.carcass +
                   spread.bridge * spread.bridge + off * off + other * other);
}

double AreaFromScore(double score) { return AreaFromMedianFat(FatFromScore(score)); }

double ScoreOdds::Mean() const {
  double mean = 0.0;
  for (int i = 0; i < kSteps; ++i) mean += p[static_cast<std::size_t>(i)] * Score(i);
  return mean;
}

ScoreOdds ScoreOddsFromArea(const SplitNormal& area_pct, double log_sd) {
  RIBWRIGHT_CHECK(log_sd > 0.0);
  static const std::array<double, ScoreOdds::kSteps> log_areas = LogAreas();
  constexpr int kAreas = 41;
  const std::vector<double> areas = area_pct.Points(kAreas);
  // Far outside the scale every density underflows; measuring from the best keeps the ratios.
  std::vector<double> logs;
  logs.reserve(areas.size() * ScoreOdds::kSteps);
  double best = -std::numeric_limits<double>::infinity();
  for (const double area : areas) {
    for (const double log_area : log_areas) {
      const double z = (std::log1p(area) - log_area) / log_sd;
      logs.push_back(-0.5 * z * z);
      best = std::max(best, logs.back());
    }
  }
  ScoreOdds odds;
  odds.p.assign(ScoreOdds::kSteps, 0.0);
  double total = 0.0;
  for (std::size_t k = 0; k < logs.size(); ++k) {
    const std::size_t i = k % ScoreOdds::kSteps;
    const auto degree =
        static_cast<std::size_t>(DegreeFromScore(ScoreOdds::Score(static_cast<int>(i))));
    const double weight = kDegreePrior[degree] * std::exp(logs[k] - best);
    odds.p[i] += weight;
    total += weight;
  }
  constexpr double kStepsADegree = 100.0 / ScoreOdds::kStep;
  for (int i = 0; i < ScoreOdds::kSteps; ++i) {
    const auto degree = static_cast<std::size_t>(DegreeFromScore(ScoreOdds::Score(i)));
    double& p = odds.p[static_cast<std::size_t>(i)];
    p = (1.0 - kAstray) * p / total + kAstray * kDegreePrior[degree] / kStepsADegree;
  }
  return odds;
}

}  // namespace ribwright::grade
