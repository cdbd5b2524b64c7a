// SPDX-License-Identifier: Apache-2.0
// One face of a piece and what surrounds it: pan, grate, air or bath.
//
// Heat comes through h (W/(m2 K)) from t_c, then through the dry crust (if any) to the wet front,
// then into the first cell, whose middle lies `conductance` (W/(m2 K)) away.
//   sears    the wet front cannot pass 100 deg C: the heat that the meat does not take boils water
//            off, and the caller moves the front inwards (the sear grows)
//   wetness  0 to 1: share of the face that gives vapour to the air like free water. Mass transfer
//            from heat transfer (Chilton-Colburn, memory): flux = wetness h 0.622 / (p cp Le^2/3) *
//            (a_w p_sat(T) - p_v), a_w 0.98 (assumed). Negative: steam condenses and drips off. A
//            crust of 1 mm ends it (assumed).
// Range: h > 0 or infinite (face held at t_c); h = 0 is an insulated face. Pure; thread-safe.
#pragma once

#include <limits>

namespace ribwright::cooking {

struct Surroundings {
  double h_w_m2k = 0.0;
  double t_c = 20.0;
  bool sears = false;
  double wetness = 0.0;
  double vapour_pa = 0.0;

  static Surroundings Insulated() { return {}; }
  static Surroundings Held(double t_c) {
    return {std::numeric_limits<double>::infinity(), t_c, false, 0.0, 0.0};
  }
  static Surroundings Fluid(double h, double t_c) { return {h, t_c, false, 0.0, 0.0}; }
  static Surroundings Hot(double h, double t_c) { return {h, t_c, true, 0.0, 0.0}; }
};

struct SurfaceHeat {
  double outside_w_m2 = 0.0;  // from the surroundings
  double meat_w_m2 = 0.0;     // into the first cell
  double boils_w_m2 = 0.0;    // spent on boiling at the front
  double dries_w_m2 = 0.0;    // spent on vapour below 100 deg C
  double front_c = 0.0;       // where dry meets wet; the surface itself without a crust
  double slope_w_m2k = 0.0;   // d meat / d cell temperature, <= 0
  bool pinned = false;        // the front boils
};

// Dried crust conducts this much (assumed: dried protein and fat with pores).
inline constexpr double kCrustWMK = 0.15;

SurfaceHeat SolveSurface(const Surroundings& around, double cell_c, double conductance_w_m2k,
                         double crust_m);

// Vapour pressure over water, Pa (Magnus form, memory; 2 % high at 100 deg C).
double VapourPressure(double t_c);
// Vapour pressure of air with this relative humidity (0 to 1).
inline double VapourOfAir(double t_c, double relative_humidity) {
  return relative_humidity * VapourPressure(t_c);
}

}  // namespace ribwright::cooking
