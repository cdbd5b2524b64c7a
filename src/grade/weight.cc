// SPDX-License-Identifier: Apache-2.0
#include "grade/weight.h"

#include "base/check.h"

namespace ribwright::grade {

double Density(const Composition& shares, double temperature_c) {
  RIBWRIGHT_CHECK(temperature_c >= 0.0 && temperature_c <= 40.0);
  const double t = temperature_c;
  const double water = 997.18 + 0.0031439 * t - 0.0037574 * t * t;
  const double protein = 1329.9 - 0.5184 * t;
  const double fat = 925.59 - 0.41757 * t;
  const double ash = 2423.8 - 0.28063 * t;
  const double volume =
      shares.water / water + shares.protein / protein + shares.fat / fat + shares.ash / ash;
  RIBWRIGHT_CHECK(volume > 0.0);
  return 1e-3 / volume;
}

double LeanDensity(double fat_pct, double temperature_c) {
  RIBWRIGHT_CHECK(fat_pct >= 0.0 && fat_pct <= 100.0);
  const double lean = 1.0 - fat_pct / 100.0;
  return Density({0.78 * lean, 0.21 * lean, fat_pct / 100.0, 0.01 * lean}, temperature_c);
}

double FattyTissueDensity(double temperature_c) {
  return Density({0.12, 0.03, kFatOfFattyTissue, 0.0}, temperature_c);
}

double FlatPieceWeightG(double thickness_cm, std::span<const Layer> layers) {
  RIBWRIGHT_CHECK(thickness_cm >= 0.0);
  double grams = 0.0;
  for (const Layer& layer : layers) {
    RIBWRIGHT_CHECK(layer.area_cm2 >= 0.0 && layer.density_g_per_cm3 > 0.0);
    grams += thickness_cm * layer.area_cm2 * layer.density_g_per_cm3;
  }
  return grams;
}

}  // namespace ribwright::grade
