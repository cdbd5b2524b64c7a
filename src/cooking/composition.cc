// SPDX-License-Identifier: Apache-2.0
#include "cooking/composition.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "base/check.h"

namespace ribwright::cooking {
namespace {

struct Quadratic {
  double a, b, c;
  constexpr double At(double t) const { return a + t * (b + t * c); }
};

struct ComponentRow {
  Quadratic k;      // W/(m K)
  Quadratic alpha;  // mm2/s
  Quadratic rho;    // kg/m3
  Quadratic cp;     // kJ/(kg K)
};

// choi-okos1986, read through a handbook's table and two public programs that agree. Misprints in
// circulation were settled by the diffusivity column: fat k slope -2.7604e-4 (printed -3), fat cp
// slope 1.4733e-3 (printed -4), water k 0.57109 (printed 0.457109).
constexpr std::array<ComponentRow, 7> kRows{{
    {{0.57109, 1.7625e-3, -6.7036e-6},
     {0.13168, 6.2477e-4, -2.4022e-6},
     {997.18, 3.1439e-3, -3.7574e-3},
     {4.1762, -9.0864e-5, 5.4731e-6}},  // water
    {{0.17881, 1.1958e-3, -2.7178e-6},
     {6.8714e-2, 4.7578e-4, -1.4646e-6},
     {1329.9, -0.51840, 0.0},
     {2.0082, 1.2089e-3, -1.3129e-6}},  // protein
    {{0.18071, -2.7604e-4, -1.7749e-7},
     {9.8777e-2, -1.2569e-4, -3.8286e-8},
     {925.59, -0.41757, 0.0},
     {1.9842, 1.4733e-3, -4.8008e-6}},  // fat
    {{0.20141, 1.3874e-3, -4.3312e-6},
     {8.0842e-2, 5.3052e-4, -2.3218e-6},
     {1599.1, -0.31046, 0.0},
     {1.5488, 1.9625e-3, -5.9399e-6}},  // carbohydrate
    {{0.18331, 1.2497e-3, -3.1683e-6},
     {7.3976e-2, 5.1902e-4, -2.2202e-6},
     {1311.5, -0.36589, 0.0},
     {1.8459, 1.8306e-3, -4.6509e-6}},  // fibre
    {{0.32962, 1.4011e-3, -2.9069e-6},
     {1.2461e-1, 3.7321e-4, -1.2244e-6},
     {2423.8, -0.28063, 0.0},
     {1.0926, 1.8896e-3, -3.6817e-6}},  // ash
    {{2.2196, -6.2489e-3, 1.0154e-4},
     {1.1756, -6.0833e-3, 9.5037e-5},
     {916.89, -0.13071, 0.0},
     {2.0623, 6.0769e-3, 0.0}},  // ice
}};
// Unfrozen water below 0 deg C (same source).
constexpr Quadratic kSupercooledCp{4.0817, -5.3062e-3, 9.9516e-4};

constexpr const ComponentRow& Row(Component component) {
  return kRows[static_cast<std::size_t>(component)];
}

double CpOf(Component component, double t) {
  if (component == Component::kWater && t < 0.0) return kSupercooledCp.At(t);
  return Row(component).cp.At(t);
}

}  // namespace

Result<Composition> CompositionFromFat(double fat_pct) {
  if (!(fat_pct >= 0.0 && fat_pct <= 70.0)) {
    return Fail(Code::kCookUnusable, "The fat share must lie between 0 and 70 % of weight.", "fat",
                "Give the chemical fat of the piece, or leave it out.");
  }
  const double lean = 1.0 - fat_pct / 100.0;
  Composition c;
  c.water = 0.78 * lean;
  c.protein = 0.21 * lean;
  c.ash = 0.01 * lean;
  c.fat = fat_pct / 100.0;
  return c;
}

Status Validate(const Composition& c) {
  for (const double x : {c.water, c.protein, c.fat, c.carbohydrate, c.fibre, c.ash}) {
    if (!(x >= 0.0 && x <= 1.0)) {
      return Fail(Code::kCookUnusable, "A part of the composition is not between 0 and 1.",
                  "composition", "Give mass fractions of water, protein, fat and ash.");
    }
  }
  if (std::fabs(c.Sum() - 1.0) > 1e-3) {
    return Fail(Code::kCookUnusable, "The parts of the composition do not add up to 1.",
                "composition", "Scale them, or give the missing part.");
  }
  return {};
}

Composition Normalised(Composition c) {
  const double sum = c.Sum();
  RIBWRIGHT_CHECK(sum > 0.0);
  for (double* x : {&c.water, &c.protein, &c.fat, &c.carbohydrate, &c.fibre, &c.ash}) *x /= sum;
  return c;
}

double IceFraction(double water, double temperature_c, double freezing_c) {
  if (temperature_c >= freezing_c) return 0.0;
  const double ice = 1.105 * water / (1.0 + 0.7138 / std::log(freezing_c - temperature_c + 1.0));
  return std::min(ice, water);
}

Result<Properties> PropertiesAt(const Composition& c, double t) {
  if (const Status valid = Validate(c); !valid) return Fail(valid.error());
  if (!(t >= kLowestC && t <= kHighestC)) {
    return Fail(Code::kCookUnusable,
                "Properties of meat are known from -40 to 150 \u00b0C, not outside.", "temperature",
                "Give a temperature in that range.");
  }
  Properties p;
  p.ice = IceFraction(c.water, t);
  const std::array<double, 7> x{c.water - p.ice, c.protein, c.fat, c.carbohydrate,
                                c.fibre,         c.ash,     p.ice};
  double volume = 0.0, k_sum = 0.0, r_sum = 0.0;
  for (std::size_t i = 0; i < x.size(); ++i) {
    const auto component = static_cast<Component>(i);
    const double v = x[i] / Row(component).rho.At(t);
    const double k = Row(component).k.At(t);
    volume += v;
    k_sum += v * k;
    r_sum += v / k;
    p.cp_kj_kgk += x[i] * CpOf(component, t);
  }
  p.rho_kg_m3 = 1.0 / volume;
  p.k_parallel_w_mk = k_sum / volume;
  p.k_series_w_mk = volume / r_sum;
  return p;
}

AlphaPair ComponentAlpha(Component component, double t) {
  const ComponentRow& row = Row(component);
  return {row.alpha.At(t), row.k.At(t) / (row.rho.At(t) * CpOf(component, t)) * 1e3};
}

}  // namespace ribwright::cooking
