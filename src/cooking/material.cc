// SPDX-License-Identifier: Apache-2.0
#include "cooking/material.h"

#include <cmath>

#include "base/check.h"

namespace ribwright::cooking {

void Material::Integrate() {
  h_.assign(k_.size(), 0.0);
  for (std::size_t i = 1; i < h_.size(); ++i) {
    h_[i] = h_[i - 1] + 0.5 * kStep * (c_[i - 1] + c_[i]);
  }
}

Result<Material> Material::Of(const Composition& composition, double k_scale) {
  RIBWRIGHT_CHECK(k_scale > 0.0);
  const auto cool = PropertiesAt(composition, 20.0);
  if (!cool) return Fail(cool.error());
  Material m;
  m.density_ = cool->rho_kg_m3;
  m.water_ = composition.water;
  m.boil_ = m.density_ * composition.water * kLatentSteamKjKg * 1e3;
  const int nodes = static_cast<int>(std::lround((kHighestC - kLowestC) / kStep)) + 1;
  for (int i = 0; i < nodes; ++i) {
    const double t = kLowestC + kStep * i;
    const auto p = PropertiesAt(composition, t);
    if (!p) return Fail(p.error());
    m.k_.push_back(p->k_parallel_w_mk * k_scale);
    // Ice that melts over the cell around the node.
    const double melt = IceFraction(composition.water, t - 0.5 * kStep) -
                        IceFraction(composition.water, t + 0.5 * kStep);
    m.c_.push_back(m.density_ * 1e3 * (p->cp_kj_kgk + kLatentIceKjKg * melt / kStep));
  }
  m.Integrate();
  return m;
}

Material Material::Constant(double k_w_mk, double c_j_m3k) {
  RIBWRIGHT_CHECK(k_w_mk > 0.0 && c_j_m3k > 0.0);
  Material m;
  m.k_.assign(2, k_w_mk);
  m.c_.assign(2, c_j_m3k);
  m.Integrate();
  return m;
}

double Material::TemperatureOf(double enthalpy_j_m3, double guess_c) const {
  double t = guess_c;
  for (int i = 0; i < 60; ++i) {
    const double step = (enthalpy_j_m3 - H(t)) / C(t);
    t += std::clamp(step, -30.0, 30.0);
    if (std::fabs(step) < 1e-10) break;
  }
  return t;
}

}  // namespace ribwright::cooking
