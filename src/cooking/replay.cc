// SPDX-License-Identifier: Apache-2.0
#include "cooking/replay.h"

#include <algorithm>
#include <cmath>

#include "base/check.h"

namespace ribwright::cooking {

Replayed Replay(const Composition& composition, double thickness_m, double start_c,
                const std::vector<CookStage>& stages, int cells) {
  const auto n = static_cast<std::size_t>(cells);
  const double dx = thickness_m / cells;
  const auto cool = PropertiesAt(composition, 20.0);
  RIBWRIGHT_CHECK(cool.has_value() && n >= 8 && start_c > kFreezingC);
  const double rho = cool->rho_kg_m3;
  const double boil = rho * composition.water * kLatentSteamKjKg * 1e3;
  std::vector<double> t(n, start_c), dried(n, 0.0), k(n), c(n), heat(n);
  Replayed out;
  for (const CookStage& stage : stages) {
    double left = stage.seconds;
    while (left > 1e-9) {
      double fastest = 0.0;
      for (std::size_t i = 0; i < n; ++i) {
        const auto p = PropertiesAt(composition, std::min(t[i], kHighestC));
        RIBWRIGHT_CHECK(p.has_value());
        const bool crust = dried[i] >= 1.0;
        k[i] = crust ? kCrustWMK : p->k_parallel_w_mk;
        // Dry matter only, once the water is gone: protein and fat hold 2 kJ/(kg K).
        c[i] = rho * 1e3 * (crust ? 2.0 * (1.0 - composition.water) : p->cp_kj_kgk);
        fastest = std::max(fastest, k[i] / c[i]);
      }
      const double dt = std::min(left, 0.35 * dx * dx / fastest);
      // No cap of the surface at 100 deg C here: the cell below it boils.
      Surroundings a = stage.a, b = stage.b;
      a.sears = b.sears = false;
      heat[0] = SolveSurface(a, t[0], 2.0 * k[0] / dx, 0.0).meat_w_m2;
      heat[n - 1] = SolveSurface(b, t[n - 1], 2.0 * k[n - 1] / dx, 0.0).meat_w_m2;
      for (std::size_t i = 1; i + 1 < n; ++i) heat[i] = 0.0;
      for (std::size_t i = 0; i + 1 < n; ++i) {
        const double q = 2.0 * k[i] * k[i + 1] / (k[i] + k[i + 1]) * (t[i] - t[i + 1]) / dx;
        heat[i] -= q;
        heat[i + 1] += q;
      }
      for (std::size_t i = 0; i < n; ++i) {
        double gain = heat[i] * dt / dx;  // J/m3
        if (dried[i] < 1.0 && gain > 0.0) {
          const double to_boil = std::max(0.0, (kBoilC - t[i]) * c[i]);
          const double warms = std::min(gain, to_boil);
          t[i] += warms / c[i];
          gain -= warms;
          const double steam = std::min(gain, (1.0 - dried[i]) * boil);
          dried[i] += steam / boil;
          if (1.0 - dried[i] < 1e-9) dried[i] = 1.0;
          gain -= steam;
        }
        t[i] += gain / c[i];
      }
      left -= dt;
      ++out.steps;
    }
  }
  const std::size_t m = n / 2;
  out.core_c = n % 2 == 0 ? 0.5 * (t[m - 1] + t[m]) : t[m];
  for (const double d : dried) out.dried_mm += d * dx * 1e3;
  return out;
}

}  // namespace ribwright::cooking
