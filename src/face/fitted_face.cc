// SPDX-License-Identifier: Apache-2.0
#include "face/fitted_face.h"

#include <algorithm>

#include "face/interval_spread.h"

namespace ribwright::face {
namespace {

bool IsEye(const report::Muscle& muscle) {
  return muscle.name == report::MuscleName::kLongissimus ||
         muscle.name == report::MuscleName::kGluteusMedius;
}

}  // namespace

void FitIntervals(report::Face& face, const SpreadCauses& causes) {
  const auto fit = [&](SpreadOf what, Measured& number) {
    number = WithFittedInterval(what, number, causes);
  };
  fit(SpreadOf::kFaceArea, face.area);
  fit(SpreadOf::kLeanArea, face.lean_area);
  fit(SpreadOf::kFatShare, face.fat_share_pct);
  fit(SpreadOf::kFaceMarbling, face.marbling_pct);
  fit(SpreadOf::kCoverMean, face.cover.mean);
  if (face.cover.at_three_quarters.basis.find("both quarters") == std::string::npos) {
    fit(SpreadOf::kCoverAtThreeQuarters, face.cover.at_three_quarters);
  }
  fit(SpreadOf::kLeanL, face.lean_colour.L);
  fit(SpreadOf::kLeanA, face.lean_colour.a);
  fit(SpreadOf::kLeanB, face.lean_colour.b);
  fit(SpreadOf::kFatL, face.fat_colour.L);
  fit(SpreadOf::kFatA, face.fat_colour.a);
  fit(SpreadOf::kFatB, face.fat_colour.b);
  const auto eye = std::find_if(face.muscles.begin(), face.muscles.end(), IsEye);
  for (auto muscle = face.muscles.begin(); muscle != face.muscles.end(); ++muscle) {
    const bool is_eye =
        muscle == eye || (eye == face.muscles.end() && muscle == face.muscles.begin());
    fit(is_eye ? SpreadOf::kEyeArea : SpreadOf::kCapArea, muscle->area);
    fit(is_eye ? SpreadOf::kEyeMarbling : SpreadOf::kCapMarbling, muscle->marbling_pct);
    fit(SpreadOf::kFlecksPerCm2, muscle->flecks_per_cm2);
    fit(SpreadOf::kFleckP50, muscle->fleck_mm2_p50);
    fit(SpreadOf::kFleckP90, muscle->fleck_mm2_p90);
    fit(SpreadOf::kCoarseness, muscle->coarseness);
    fit(SpreadOf::kEvenness, muscle->evenness);
  }
}

}  // namespace ribwright::face
