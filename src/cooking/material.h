// SPDX-License-Identifier: Apache-2.0
// Material: k(T), volumetric heat capacity and enthalpy as tables that a solver can read fast.
//
// Of(composition) samples PropertiesAt every quarter kelvin from -40 to 150 deg C; between nodes k
// and c are straight lines and the enthalpy is their exact integral, so that c = dH/dT to rounding.
// Melting ice is part of c. The density is that at 20 deg C throughout: the piece keeps its mass
// when it warms (it would swell by 1 %). Above 100 deg C nothing boils here: the solver moves a
// front instead. Constant(...) is for exact answers. Outside the table k and c keep their end
// values. Units: W/(m K), J/(m3 K), J/m3 (0 at -40 deg C). Thread-safe: plain data.
#pragma once

#include <algorithm>
#include <vector>

#include "base/result.h"
#include "cooking/composition.h"

namespace ribwright::cooking {

// Heat to boil water off at 100 deg C, kJ/kg (memory: steam tables, 2256.5).
inline constexpr double kLatentSteamKjKg = 2256.5;
inline constexpr double kBoilC = 100.0;

class Material {
 public:
  // k_scale multiplies the conductivity: a house's or a fit's correction.
  static Result<Material> Of(const Composition& composition, double k_scale = 1.0);
  static Material Constant(double k_w_mk, double c_j_m3k);

  double K(double t) const { return Line(k_, t); }
  double C(double t) const { return Line(c_, t); }
  double H(double t) const {
    const Place p = At(t);
    const auto i = static_cast<std::size_t>(p.index);
    const double dt = p.part * kStep;
    if (p.part < 0.0 || p.part > 1.0) {
      return p.part < 0.0 ? h_.front() + c_.front() * dt
                          : h_[i] + 0.5 * kStep * (c_[i] + c_[i + 1]) + c_[i + 1] * (dt - kStep);
    }
    return h_[i] + dt * (c_[i] + 0.5 * p.part * (c_[i + 1] - c_[i]));
  }
  // K, C and H at once.
  void Read(double t, double& k, double& c, double& h) const {
    const Place p = At(t);
    if (p.part < 0.0 || p.part > 1.0) {
      k = K(t);
      c = C(t);
      h = H(t);
      return;
    }
    const auto i = static_cast<std::size_t>(p.index);
    const double dc = p.part * (c_[i + 1] - c_[i]);
    k = k_[i] + p.part * (k_[i + 1] - k_[i]);
    c = c_[i] + dc;
    h = h_[i] + p.part * kStep * (c_[i] + 0.5 * dc);
  }
  // The temperature that has this enthalpy; Newton from `guess`.
  double TemperatureOf(double enthalpy_j_m3, double guess_c) const;

  double density_kg_m3() const { return density_; }
  // Heat to boil off what water a cubic metre holds; 0 for Constant.
  double boil_j_m3() const { return boil_; }
  double water() const { return water_; }

 private:
  static constexpr double kStep = 0.25;
  struct Place {
    int index;
    double part;  // below 0 or above 1 outside the table
  };
  Place At(double t) const {
    const double x = (t - kLowestC) * (1.0 / kStep);
    const int last = static_cast<int>(k_.size()) - 2;
    const int i = std::clamp(static_cast<int>(std::clamp(x, -1.0, 1e6)), 0, last);
    return {i, x - i};
  }
  double Line(const std::vector<double>& y, double t) const {
    const Place p = At(t);
    const auto i = static_cast<std::size_t>(p.index);
    const double part = std::clamp(p.part, 0.0, 1.0);
    return y[i] + part * (y[i + 1] - y[i]);
  }

  void Integrate();

  std::vector<double> k_, c_, h_;
  double density_ = 0.0;
  double boil_ = 0.0;
  double water_ = 0.0;
};

}  // namespace ribwright::cooking
