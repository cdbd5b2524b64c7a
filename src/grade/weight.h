// SPDX-License-Identifier: Apache-2.0
// Density of lean and fatty tissue from what they are made of, and the weight of a flat piece.
//
//   1/rho = sum(w_i / rho_i),  w = mass shares of water, protein, fat, ash
//   water    997.18 + 0.0031439 T - 0.0037574 T^2   kg/m3, T in deg C
//   protein 1329.9  - 0.5184 T
//   fat      925.59 - 0.41757 T
//   ash     2423.8  - 0.28063 T                      (Choi & Okos 1986; memory)
// Fat-free lean is 78 % water (Callow 1947, read), taken with 21 % protein and 1 % ash; fatty
// tissue is taken as 85 % fat, 12 % water, 3 % protein (assumed). The fat-free figure at 4 deg
// C, 1.059 g/cm3, meets the 1.06 recalled for muscle. Range: 0..40 deg C, fat 0..100 %; air, bone
// and brine are not covered. weight_g = thickness_cm * sum(area_cm2 * density): a piece of even
// thickness.
#pragma once

#include <span>

namespace ribwright::grade {

inline constexpr double kColdRoomC = 4.0;
inline constexpr double kFatOfFattyTissue = 0.85;  // mass share, assumed

struct Composition {
  double water = 0.0;  // mass shares, sum 1
  double protein = 0.0;
  double fat = 0.0;
  double ash = 0.0;
};
// g/cm3
double Density(const Composition& shares, double temperature_c = kColdRoomC);
double LeanDensity(double fat_pct, double temperature_c = kColdRoomC);
double FattyTissueDensity(double temperature_c = kColdRoomC);

struct Layer {
  double area_cm2 = 0.0;
  double density_g_per_cm3 = 0.0;
};
double FlatPieceWeightG(double thickness_cm, std::span<const Layer> layers);

}  // namespace ribwright::grade
