// SPDX-License-Identifier: Apache-2.0
// While it cooks: what the readings of a probe in the middle say about the time that is left.
//
// Unknown are the factors of Deviation (cook_run.h): thickness (sd 8.7 %, that of +-15 % even),
// heat transfer (18 %), hot surface (10 K), start (0.8 K), conductivity (4 %): assumed. Readings
// have an error of 0.4 K (assumed; probes in kitchens are good to half a kelvin). The most likely
// factors are found by Gauss-Newton on simulated cooks, their spread from the curvature there
// (Laplace), and both are carried to the moment at which the core crosses the pull temperature. On
// simulated cooks the 90 % interval holds the truth in 85 to 95 % (bench/reach cooking).
//
// Errors kProbeUnusable: fewer than 3 readings, times that do not rise, Fahrenheit, a probe out of
// the meat (jumps, falls), readings that no such piece explains. Cost: some 20 simulated cooks.
// Thread-safe.
#pragma once

#include <span>

#include "base/result.h"
#include "cooking/cook_plan.h"
#include "cooking/cook_run.h"
#include "cooking/lethality.h"
#include "units/measured.h"

namespace ribwright::cooking {

// How the cook goes on as planned; a side is as long as planned and turning goes on past the plan.
struct CookCourse {
  int flips = 0;
  double x = 0.0;  // as in Stages
  double bath_s = 0.0;
  double pull_c = 0.0;
};
CookCourse CourseOf(const CookPlan& plan);

struct LiveEstimate {
  double now_s = 0.0;
  bool reached = false;  // the core is there by the readings
  Measured pull_s;       // since the start; unknown where it is not reached within twice the plan
  Measured left_s;
  Measured core_c;  // now
  Deviation likely;
  double misfit_k = 0.0;
  int iterations = 0;
};

Result<LiveEstimate> EstimateLive(const CookRequest& request, const CookCourse& course,
                                  std::span<const TimedTemperature> readings);

// The core's temperature over time for these factors, at 2 s steps or finer, up to until_s.
std::vector<TimedTemperature> CoreCurve(const CookRequest& request, const CookCourse& course,
                                        const Deviation& deviation, double until_s);
double ValueAt(std::span<const TimedTemperature> curve, double seconds);
// When the curve first reaches t_c; negative where it does not.
double TimeAt(std::span<const TimedTemperature> curve, double t_c);

}  // namespace ribwright::cooking
