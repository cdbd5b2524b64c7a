// SPDX-License-Identifier: Apache-2.0
// Thermal properties of beef from what it is made of.
//
// Each component has k, cp = A + B T + C T^2 and rho = A + B T + C T^2 (T in deg C, -40 to 150;
// k W/(m K), cp kJ/(kg K), rho kg/m3); coefficients and their sources stand in composition.cc
// (choi-okos1986). Of mass fractions x:
//   1/rho = sum x/rho_i   cp = sum x cp_i   v_i = (x_i/rho_i) / sum(x/rho)
//   k parallel = sum v k (upper bound), k series = 1 / sum(v/k) (lower bound)
// Whole muscle lies near the parallel value (beef measured at 0.47 to 0.50 W/(m K), property rows
// of docs/science/cooking.md), minced beef between the two.
//
// Below the freezing point part of the water is ice (Tchigeov, ashrae-refrigeration, memory):
//   x_ice = 1.105 x_w / (1 + 0.7138 / ln(tf - T + 1))
// Range: fractions >= 0 with a sum of 1 within 0.001, -40 <= T <= 150; else an error. Thread-safe.
#pragma once

#include "base/result.h"

namespace ribwright::cooking {

inline constexpr double kLowestC = -40.0;
inline constexpr double kHighestC = 150.0;
// Freezing point of lean beef (ashrae-refrigeration, carcass example; memory).
inline constexpr double kFreezingC = -1.7;
inline constexpr double kLatentIceKjKg = 333.6;  // memory: latent heat of water at 0 deg C

// Mass fractions of the whole.
struct Composition {
  double water = 0.0;
  double protein = 0.0;
  double fat = 0.0;
  double carbohydrate = 0.0;
  double fibre = 0.0;
  double ash = 0.0;

  double Sum() const { return water + protein + fat + carbohydrate + fibre + ash; }
};

// Lean with this much fat: the fat-free part is 78 % water, 21 % protein, 1 % ash, as in the
// weight model (assumed; USDA strip and rib rows lie within 2 points of water).
// Range: 0 to 70 % fat, else an error.
Result<Composition> CompositionFromFat(double fat_pct);

Status Validate(const Composition& composition);
// Scaled to a sum of 1; for rows of a food table, whose parts add up to 97 to 101 %.
Composition Normalised(Composition composition);

struct Properties {
  double rho_kg_m3 = 0.0;
  double cp_kj_kgk = 0.0;  // sensible heat only, also where ice melts
  double k_parallel_w_mk = 0.0;
  double k_series_w_mk = 0.0;
  double ice = 0.0;  // mass fraction of the whole
  // k parallel / (rho cp)
  double AlphaMm2S() const { return k_parallel_w_mk / (rho_kg_m3 * cp_kj_kgk) * 1e3; }
};

Result<Properties> PropertiesAt(const Composition& composition, double temperature_c);

// Ice per mass of the whole; 0 at and above the freezing point.
double IceFraction(double water, double temperature_c, double freezing_c = kFreezingC);

// One component's own diffusivity (mm2/s) two ways, for the check that coefficients fit together:
// from its polynomial and as k / (rho cp).
enum class Component { kWater, kProtein, kFat, kCarbohydrate, kFibre, kAsh, kIce };
struct AlphaPair {
  double printed = 0.0;
  double derived = 0.0;
};
AlphaPair ComponentAlpha(Component component, double temperature_c);

}  // namespace ribwright::cooking
