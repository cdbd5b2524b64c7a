// SPDX-License-Identifier: Apache-2.0
// Made by `bench/fit_intervals --write`; not edited by hand. interval_spread.h says what it means.
// No fit yet.
#pragma once

#include <array>

#include "face/interval_causes.h"

namespace ribwright::face {

struct FittedSpread {
  int cases = 0;  // 0: no fit
  std::array<double, kSpreadCauses> b{};
  double below = 0.0;
  double above = 0.0;
};

// clang-format off
inline constexpr std::array<FittedSpread, kSpreadRules.size()> kFittedSpreads{{
    {},  // eye marbling
    {},  // eye area
    {},  // cover mean
    {},  // cover at three quarters
    {},  // lean L
    {},  // lean a
    {},  // lean b
    {},  // fat L
    {},  // fat a
    {},  // fat b
    {},  // face area
    {},  // lean area
    {},  // face fat share
    {},  // face marbling
    {},  // cap area
    {},  // cap marbling
    {},  // eye flecks per cm2
    {},  // eye fleck p50
    {},  // eye fleck p90
    {},  // eye coarseness
    {},  // eye evenness
}};
// clang-format on

}  // namespace ribwright::face
