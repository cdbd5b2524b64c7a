// SPDX-License-Identifier: Apache-2.0
#include "face/interval_spread.h"

#include <algorithm>
#include <cmath>

#include "face/interval_spread_fitted.h"

namespace ribwright::face {

namespace {

double ScaleOf(SpreadOf what, double seen, const SpreadCauses& causes) {
  const FittedSpread& fit = kFittedSpreads[static_cast<std::size_t>(what)];
  const auto x = CauseVector(what, seen, causes);
  double log_scale = 0.0;
  for (std::size_t i = 0; i < x.size(); ++i) log_scale += fit.b[i] * x[i];
  return std::exp(log_scale);
}

}  // namespace

Measured WithFittedInterval(SpreadOf what, const Measured& assumed, const SpreadCauses& causes) {
  const FittedSpread& fit = kFittedSpreads[static_cast<std::size_t>(what)];
  if (!assumed.Known() || fit.cases == 0) return assumed;
  const double seen = *assumed.value;
  const double scale = ScaleOf(what, seen, causes);
  const SpreadRule& rule = kSpreadRules[static_cast<std::size_t>(what)];
  // The quantity ends where it does, unless what was seen already lies beyond.
  const double least = std::min(rule.least, seen);
  const double most = std::max(rule.most, seen);
  const double value = std::clamp(seen - fit.middle * scale, least, most);
  const double low = std::clamp(seen - fit.above * scale, least, value);
  const double high = std::clamp(seen - fit.below * scale, value, most);
  return Measured::Of(value, low, high, assumed.unit, "spread fitted on phantoms");
}

double BeforeFit(SpreadOf what, double value, const SpreadCauses& causes) {
  const FittedSpread& fit = kFittedSpreads[static_cast<std::size_t>(what)];
  if (fit.cases == 0 || fit.middle == 0.0) return value;
  double seen = value;
  for (int round = 0; round < 50; ++round) seen = value + fit.middle * ScaleOf(what, seen, causes);
  return seen;
}

void FitFaceIntervals(report::Face& face, const SpreadCauses& causes) {
  const auto fit = [&](SpreadOf what, Measured& m) { m = WithFittedInterval(what, m, causes); };
  fit(SpreadOf::kFaceArea, face.area);
  fit(SpreadOf::kLeanArea, face.lean_area);
  const std::string before = face.fat_share_pct.basis;
  fit(SpreadOf::kFatShare, face.fat_share_pct);
  if (face.fat_to_lean.Known() && face.fat_share_pct.basis != before) {
    const auto ratio = [](double pct) { return pct / std::max(0.5, 100.0 - pct); };
    const double value = *face.fat_to_lean.value;
    face.fat_to_lean = Measured::Of(value, std::min(value, ratio(face.fat_share_pct.low)),
                                    std::max(value, ratio(face.fat_share_pct.high)),
                                    face.fat_to_lean.unit, "from the fat share");
  }
  fit(SpreadOf::kFaceMarbling, face.marbling_pct);
  fit(SpreadOf::kCoverMean, face.cover.mean);
  fit(SpreadOf::kCoverAtThreeQuarters, face.cover.at_three_quarters);
  fit(SpreadOf::kLeanL, face.lean_colour.L);
  fit(SpreadOf::kLeanA, face.lean_colour.a);
  fit(SpreadOf::kLeanB, face.lean_colour.b);
  fit(SpreadOf::kFatL, face.fat_colour.L);
  fit(SpreadOf::kFatA, face.fat_colour.a);
  fit(SpreadOf::kFatB, face.fat_colour.b);
  for (report::Muscle& muscle : face.muscles) {
    const bool eye = muscle.name == report::MuscleName::kLongissimus ||
                     muscle.name == report::MuscleName::kGluteusMedius;
    fit(eye ? SpreadOf::kEyeArea : SpreadOf::kCapArea, muscle.area);
    fit(eye ? SpreadOf::kEyeMarbling : SpreadOf::kCapMarbling, muscle.marbling_pct);
    fit(SpreadOf::kFlecksPerCm2, muscle.flecks_per_cm2);
    fit(SpreadOf::kFleckP50, muscle.fleck_mm2_p50);
    fit(SpreadOf::kFleckP90, muscle.fleck_mm2_p90);
    fit(SpreadOf::kCoarseness, muscle.coarseness);
    fit(SpreadOf::kEvenness, muscle.evenness);
  }
}

}  // namespace ribwright::face
