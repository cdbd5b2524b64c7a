// SPDX-License-Identifier: Apache-2.0
// What the judge knows that bears on how far a number may be off, as one vector; the same for
// fitting (bench/fit_intervals) and for use (interval_spread.h).
//
// Entries: 1; ln(value + floor), where the error grows with the value (colours: 0); ln(px/mm / 10)
// of the face (0 where no scale is known); the root of the unreadable share; ln(1 + sd / 0.005) of
// the scale's relative standard deviation, which holds an unknown thickness; 1 without entered
// patch values; ln(sharpness / 2.8) of the face; ln(1 + points between the two ways of finding
// fat). Floors are `assumed`: about the size below which the value does not matter.
#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <string_view>

namespace ribwright::face {

enum class SpreadOf {  // in the order of bench/quantities.cc
  kEyeMarbling,
  kEyeArea,
  kCoverMean,
  kCoverAtThreeQuarters,
  kLeanL,
  kLeanA,
  kLeanB,
  kFatL,
  kFatA,
  kFatB,
  kFaceArea,
  kLeanArea,
  kFatShare,
  kFaceMarbling,
  kCapArea,
  kCapMarbling,
  kFlecksPerCm2,
  kFleckP50,
  kFleckP90,
  kCoarseness,
  kEvenness,
};

struct SpreadRule {
  std::string_view name;  // as the bench calls it
  double floor = 0.0;     // 0: the error does not grow with the value
  double least = 0.0;     // the quantity's own ends
  double most = 1e9;
  // Whether a bias seen on phantoms may be taken off the value. Not off shares of fat: what biases
  // them there (drawn glare and lines) need not bias them on photographs.
  bool may_move = true;
};

inline constexpr std::array<SpreadRule, 21> kSpreadRules{{
    {"eye marbling", 1.0, 0, 100, false},
    {"eye area", 10.0},
    {"cover mean", 2.0},
    {"cover at three quarters", 2.0},
    {"lean L", 0.0, 0, 100},
    {"lean a", 0.0, -150, 150},
    {"lean b", 0.0, -150, 150},
    {"fat L", 0.0, 0, 100},
    {"fat a", 0.0, -150, 150},
    {"fat b", 0.0, -150, 150},
    {"face area", 10.0},
    {"lean area", 10.0},
    {"face fat share", 5.0, 0, 100, false},
    {"face marbling", 1.0, 0, 100, false},
    {"cap area", 2.0},
    {"cap marbling", 1.0, 0, 100, false},
    {"eye flecks per cm2", 0.5},
    {"eye fleck p50", 0.1},
    {"eye fleck p90", 0.2},
    {"eye coarseness", 3.0, 0, 100},
    {"eye evenness", 0.5, 0, 100},
}};

inline constexpr std::size_t kSpreadCauses = 8;

struct SpreadCauses {
  double px_per_mm = 0.0;  // 0: not known
  double scale_relative_sd = 0.0;
  double unreadable_pct = 0.0;
  bool patch_values = false;  // entered, so that colour was measured
  double sharpness = 2.8;
  double disagreement = 0.0;  // points of marbling between the learned map and the colour rules
};

inline std::array<double, kSpreadCauses> CauseVector(SpreadOf what, double value,
                                                     const SpreadCauses& causes) {
  const SpreadRule& rule = kSpreadRules[static_cast<std::size_t>(what)];
  return {1.0,
          rule.floor > 0.0 ? std::log(std::max(0.0, value) + rule.floor) : 0.0,
          causes.px_per_mm > 0.0 ? std::log(causes.px_per_mm / 10.0) : 0.0,
          std::sqrt(std::max(0.0, causes.unreadable_pct) / 100.0),
          std::log(1.0 + std::max(0.0, causes.scale_relative_sd) / 0.005),
          causes.patch_values ? 0.0 : 1.0,
          std::log(std::clamp(causes.sharpness, 0.2, 20.0) / 2.8),
          std::log(1.0 + std::max(0.0, causes.disagreement))};
}

}  // namespace ribwright::face
