// SPDX-License-Identifier: Apache-2.0
// Signs of how the animal was fed and what happened to the meat: odds with reasons, never proof.
//
// Each sign compares two groups on a few features by Bayes' rule; a feature x weighs
//   Normal(x; mean of the group, sd) with sd^2 = spread within a group^2 + colour doubt^2 + the
//   measured interval's own^2
// Colour doubt is how far one camera's or laboratory's colour is from another's (published loins
// differ by 10 in L* for like beef): 3 units with entered patch values, 12 without. So uncalibrated
// colour hardly moves the odds, and the reason says so. Unknown or short bloom (under 30 min for
// L*, 78 for a*, read) adds 3 units, since unbloomed meat is dark and dull. At last 5 % of the odds
// stay at the prior, for what the model leaves out (assumed).
//
//   feature                 first group          second group          source
//   fat b*                  pasture 16.9         concentrate 12.9      Hunter b 13.47 and 10.35
//   (Dunne
//                                                                      et al. 2006, read) taken to
//                                                                      CIE at 45 % reflectance;
//                                                                      spread 3
//   eye fat, ln(area + 1)   pasture ln 5         concentrate ln 8      assumed; spread 0.6
//   lean L*                 dark 34, browned 38  usual 40              US mean 39.4 (memory); mild
//   dark
//                           dry-aged 35                                5.8 lower (read); rest
//                           assumed
//   lean a*                 dark 18, browned 15  usual 25              US mean 25.2 (memory);
//   dark-cutter
//                           dry-aged 19                                colour follows a* best (r
//                           -0.76,
//                                                                      read); metmyoglobin lowers
//                                                                      a* by 3.2 a tenth (read);
//                                                                      rest assumed
//   hue, degrees            dark 20, browned 45  usual 28              assumed; spread 6
//                           dry-aged 32
// Not judged at all, by WhyNoSigns: without entered patch values, since uncalibrated colour would
// only give the priors back; where lean a* lies outside 5..40 (assumed: raw beef as it is met runs
// from about 10, browned, to 35, bright and calibrated); while the photo is warned to be out of
// focus, heavy with glare, or not like beef. Grain and grass are two readings of one question.
//
// Priors (assumed): grain 0.65, dark 0.03 (published shares 3-8 %, read), browned 0.10, dry-aged
// 0.10. fresh = neither browned nor dry-aged. Crust is not measured in a face, so dry ageing stays
// weak. Valid for raw beef.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "report/photo_report.h"

namespace ribwright::grade {

struct SignRequest {
  bool colour_calibrated = false;
  std::optional<double> bloom_min;
  Measured eye_marbling_pct;
  std::vector<Code> standing = {};  // warnings of the photo and its faces
};

// CIE b* (same white, D65) of a colour given as Hunter b at reflectance y (0..1) of that white.
double LabBFromHunterB(double hunter_b, double y);

inline constexpr double kLeastLeanA = 5.0;  // assumed, as is the next
inline constexpr double kMostLeanA = 40.0;

// Why no sign may be judged, as a clause ("colour is not calibrated"); empty where one may.
std::string WhyNoSigns(const report::Face& face, const SignRequest& request);

// Six signs, in SignOf's order.
std::vector<report::Sign> JudgeSigns(const report::Face& face, const SignRequest& request);

}  // namespace ribwright::grade
