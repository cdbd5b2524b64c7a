// SPDX-License-Identifier: Apache-2.0
#include "cooking/bath_time.h"

#include <algorithm>
#include <cmath>

#include "cooking/conduction.h"
#include "cooking/lethality.h"

namespace ribwright::cooking {

Result<double> BathSeconds(double thickness_mm, double bath_c, double start_c) {
  if (!(thickness_mm >= 5.0 && thickness_mm <= 70.0)) {
    return Fail(Code::kCookUnusable, "The table of bath times covers 5 to 70 mm.", "thickness",
                "Give a thickness in that range.");
  }
  if (!(bath_c >= 55.0 && bath_c <= 66.0)) {
    return Fail(Code::kCookUnusable, "The table of bath times covers baths of 55 to 66 \u00b0C.",
                "bath", "Give a bath in that range.");
  }
  if (!(start_c > kFreezingC && start_c <= 20.0)) {
    return Fail(Code::kCookUnusable, "Bath times are for meat from the refrigerator.", "start",
                "Give a start above freezing, at most 20 \u00b0C.");
  }
  constexpr double kD60Min = 4.17, kZ = 8.05, kLogs = 6.0;
  const double k = 0.48, alpha = 1.11e-7;
  const double half = 0.5e-3 * thickness_mm;
  const double shape = thickness_mm <= 30.0 ? 0.0 : 0.20;
  const Material slow = Material::Constant(k, k / alpha);
  const auto water = Surroundings::Fluid(95.0, bath_c);
  const bool slab = shape == 0.0;
  const double size = slab ? 2.0 * half : half;
  HeatedPiece piece(slow, size, std::max(16, static_cast<int>(std::lround(size * 1e3))), start_c,
                    shape);
  HeatingOptions options;
  options.track = false;
  options.first_step_s = 10.0;
  double logs = 0.0;
  TimedTemperature last{0.0, start_c};
  while (logs < kLogs && last.seconds < 48.0 * 3600.0) {
    piece.Heat(water, water, 30.0, options);
    const TimedTemperature now{piece.seconds(), piece.Core()};
    const TimedTemperature pair[] = {last, now};
    const double gain = KillLogs(pair, kD60Min, kZ);
    if (logs + gain >= kLogs) return last.seconds + 30.0 * (kLogs - logs) / gain;
    logs += gain;
    last = now;
  }
  return Fail(Code::kInternal, "The bath never gave the kill.", "bath time", "Report this.");
}

}  // namespace ribwright::cooking
