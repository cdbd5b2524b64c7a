// SPDX-License-Identifier: Apache-2.0
#include "cooking/surface.h"

#include <algorithm>
#include <cmath>

#include "base/check.h"
#include "cooking/material.h"

namespace ribwright::cooking {
namespace {

constexpr double kAirPressurePa = 101325.0;
constexpr double kAirCp = 1006.0;            // J/(kg K), memory
constexpr double kLewisPower = 0.90;         // Le^(2/3) of water vapour in air, memory
constexpr double kWaterActivity = 0.98;      // assumed
constexpr double kCrustEndsVapourM = 0.001;  // assumed

// Heat of evaporation, J/kg, linear in temperature (memory).
double Evaporation(double t_c) { return (2501.0 - 2.36 * t_c) * 1e3; }

}  // namespace

double VapourPressure(double t_c) { return 611.2 * std::exp(17.62 * t_c / (243.12 + t_c)); }

SurfaceHeat SolveSurface(const Surroundings& a, double cell_c, double g, double crust_m) {
  RIBWRIGHT_CHECK(a.h_w_m2k >= 0.0 && g > 0.0 && crust_m >= 0.0);
  SurfaceHeat s;
  s.front_c = cell_c;
  if (a.h_w_m2k == 0.0) return s;
  const double resistance = 1.0 / a.h_w_m2k + crust_m / kCrustWMK;
  if (resistance == 0.0) {
    s.front_c = a.t_c;
    s.meat_w_m2 = s.outside_w_m2 = g * (a.t_c - cell_c);
    s.slope_w_m2k = -g;
    return s;
  }
  const double outer = 1.0 / resistance;
  s.front_c = (cell_c * g + a.t_c * outer) / (g + outer);
  double front_per_cell = g / (g + outer);
  const double wet = a.wetness * std::max(0.0, 1.0 - crust_m / kCrustEndsVapourM);
  if (wet > 0.0) {
    const double mass = wet * a.h_w_m2k * 0.622 / (kAirPressurePa * kAirCp * kLewisPower);
    double vapour_slope = 0.0;
    for (int i = 0; i < 30; ++i) {
      const double t = s.front_c;
      const double p = kWaterActivity * VapourPressure(t);
      const double dp = p * 17.62 * 243.12 / ((243.12 + t) * (243.12 + t));
      s.dries_w_m2 = Evaporation(t) * mass * (p - a.vapour_pa);
      vapour_slope = Evaporation(t) * mass * dp;
      const double excess = outer * (a.t_c - t) - s.dries_w_m2 - g * (t - cell_c);
      const double step = excess / (outer + vapour_slope + g);
      s.front_c += step;
      if (std::fabs(step) < 1e-9) break;
    }
    front_per_cell = g / (g + outer + vapour_slope);
  }
  if (a.sears && s.front_c >= kBoilC) {
    s.front_c = kBoilC;
    s.pinned = true;
    s.dries_w_m2 = 0.0;
    s.outside_w_m2 = outer * (a.t_c - kBoilC);
    s.meat_w_m2 = g * (kBoilC - cell_c);
    s.boils_w_m2 = s.outside_w_m2 - s.meat_w_m2;
    s.slope_w_m2k = -g;
    return s;
  }
  s.outside_w_m2 = outer * (a.t_c - s.front_c);
  s.meat_w_m2 = g * (s.front_c - cell_c);
  s.dries_w_m2 = s.outside_w_m2 - s.meat_w_m2;
  if (wet == 0.0) s.dries_w_m2 = 0.0;
  s.slope_w_m2k = -g * (1.0 - front_per_cell);
  return s;
}

}  // namespace ribwright::cooking
