// SPDX-License-Identifier: Apache-2.0
// One simulated cook of a request at a given value of what is searched (cook_plan.h): stages, pull,
// rest to the core's peak. Shared by the plan and by the live estimate. Thread-safe.
#pragma once

#include <string>
#include <vector>

#include "cooking/cook_plan.h"

namespace ribwright::cooking {

// Factors and shifts on a request: what is not known exactly.
struct Deviation {
  double thickness = 1.0;
  double h = 1.0;
  double hot_k = 0.0;
  double start_k = 0.0;
  double conductivity = 1.0;
};

struct CookStage {
  std::string what;
  Surroundings a, b;
  double seconds;
};

// Stages up to the pull. `x`: seconds of cooking, or the bath's temperature for kBathThenSear,
// whose bath lasts bath_s.
std::vector<CookStage> Stages(const CookRequest& request, int flips, double x, double bath_s,
                              const Deviation& deviation = {});

struct CookRun {
  Outcome outcome = Outcome::kDone;
  double pull_c = 0.0, pull_s = 0.0;
  double peak_c = 0.0, peak_s = 0.0;  // since the start
  double bath_s = 0.0;
};

// Runs a cook; `piece` is left at the core's peak (or at the end of the rest that was tried).
// fine: track and record, else as fast as a search allows.
CookRun RunCook(const CookRequest& request, int flips, double x, const Deviation& deviation,
                bool fine, HeatedPiece& piece, std::vector<HeatedPiece::Cell>* at_pull = nullptr,
                double bath_s = 0.0);

}  // namespace ribwright::cooking
