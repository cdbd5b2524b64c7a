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
    {-1.0506, {2.0369, -5.9691, -2.9191, 0.0000, 0.0000, 3.0815, 0.0000, 0.0000, 0.0000, 0.0000, 0.0000, 0.0000, 0.0000, 0.0000, 0.0000}},  // cooked
    {-18.3562, {0.0000, 0.0000, -1.4667, 0.0000, 0.0000, 7.5161, 0.0000, 0.0000, 0.0000, 0.0000, 0.0000, 0.0000, 0.0000, 17.3937, 0.0000}},  // ground
    {-1.7280, {0.0000, 0.0000, 0.0000, 0.0000, 0.0000, 0.0000, 0.3764, -5.0422, -2.5020, 0.0000, 0.0000, 0.0000, 0.0000, 0.0000, 0.0000}},  // unfocused
    {-7.0475, {0.2015, 0.0000, 0.0000, 0.0000, 0.0000, 1.2047, 0.0000, 0.0000, -4.9799, 0.0000, 0.0000, 12.3618, 3.4927, -6.4085, 0.0000}},  // film
}};
// clang-format on

}  // namespace ribwright::face
