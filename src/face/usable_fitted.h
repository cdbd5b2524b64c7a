// SPDX-License-Identifier: Apache-2.0
// Made by training/fit_usable.py --write; not edited by hand. usable.h says what it means.
// 24 work phantoms a kind, seeds 100000-100023.
#pragma once

#include <array>

#include "face/face_traits.h"

namespace ribwright::face {

struct UnusableRule {
  double constant;
  std::array<double, kTraits> weights;
};

// clang-format off
inline constexpr std::array<UnusableRule, 4> kUnusableRules{{
    {-0.7006, {2.1535, -5.7807, -3.0449, 0.0000, 0.0000, 3.3728, 0.0000, 0.0000, 0.0000, 0.0000, 0.0000, 0.0000, 0.0000, 0.0000, 0.0000}},  // cooked
    {-16.5453, {0.0000, 0.0000, -1.6148, 0.0000, 0.0000, 11.2108, 0.0000, 0.0000, 0.0000, 0.0000, 0.0000, 0.0000, 0.0000, 14.4663, 0.0000}},  // ground
    {-1.7280, {0.0000, 0.0000, 0.0000, 0.0000, 0.0000, 0.0000, 0.3764, -5.0422, -2.5020, 0.0000, 0.0000, 0.0000, 0.0000, 0.0000, 0.0000}},  // unfocused
    {-8.2009, {-0.4526, 0.0000, 0.0000, 0.0000, 0.0000, 1.5090, 0.0000, 0.0000, -4.1206, 0.0000, 0.0000, 9.6921, 3.4423, -4.3669, 0.0000}},  // film
}};
// clang-format on

}  // namespace ribwright::face
