// SPDX-License-Identifier: Apache-2.0
// A cook replayed by a second, plainer method, to verify a plan: explicit Euler on a fixed fine
// grid, properties straight from the composition's equations (no tables), and boiling by the
// enthalpy of each cell (a cell stays at 100 deg C until its water is gone, then conducts like
// crust), not by a front. It shares surface.h's heat transfer and nothing else with conduction.h.
// Slow (some 50 ms a cook). Range as there. Thread-safe.
#pragma once

#include <vector>

#include "cooking/composition.h"
#include "cooking/cook_run.h"

namespace ribwright::cooking {

struct Replayed {
  double core_c = 0.0;
  double dried_mm = 0.0;  // both faces together
  int steps = 0;
};

Replayed Replay(const Composition& composition, double thickness_m, double start_c,
                const std::vector<CookStage>& stages, int cells);

}  // namespace ribwright::cooking
