// SPDX-License-Identifier: Apache-2.0
#include "face/interval_spread.h"

#include <algorithm>
#include <cmath>

#include "face/interval_spread_fitted.h"

namespace ribwright::face {

Measured WithFittedInterval(SpreadOf what, const Measured& assumed, const SpreadCauses& causes) {
  const FittedSpread& fit = kFittedSpreads[static_cast<std::size_t>(what)];
  if (!assumed.Known() || fit.cases == 0) return assumed;
  const double value = *assumed.value;
  const auto x = CauseVector(what, value, causes);
  double log_scale = 0.0;
  for (std::size_t i = 0; i < x.size(); ++i) log_scale += fit.b[i] * x[i];
  const double scale = std::exp(log_scale);
  const SpreadRule& rule = kSpreadRules[static_cast<std::size_t>(what)];
  const double low = std::clamp(value - fit.above * scale, std::min(rule.least, value), value);
  const double high = std::clamp(value - fit.below * scale, value, std::max(rule.most, value));
  return Measured::Of(value, low, high, assumed.unit, "spread fitted on phantoms");
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
