// SPDX-License-Identifier: Apache-2.0
// The slab problem of conduction.h, set up anew for SUNDIALS CVODE (BDF, banded Jacobian by
// differences): plain second-order finite volumes on cell middles, no compact correction, no front.
// For tests and benches only; never linked into the program.
#pragma once

#include <utility>
#include <vector>

#include "cooking/material.h"
#include "cooking/surface.h"

namespace ribwright::cooking {

struct ReferenceStage {
  Surroundings a, b;
  double seconds;
};

struct ReferenceRun {
  bool done = false;
  std::vector<double> cells_c;
  double core_c = 0.0;
  long steps = 0;
};

ReferenceRun RunByCvode(const Material& material, double thickness_m, int cells, double start_c,
                        const std::vector<ReferenceStage>& stages, double relative,
                        double absolute_k);

}  // namespace ribwright::cooking
