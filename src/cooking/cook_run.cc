// SPDX-License-Identifier: Apache-2.0
#include "cooking/cook_run.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "cooking/lethality.h"

namespace ribwright::cooking {
namespace {

Surroundings Pan(const Hardware& w, const Deviation& d) {
  return Surroundings::Hot(w.pan_h * d.h, w.pan_c + d.hot_k);
}
Surroundings Grill(const Hardware& w, const Deviation& d) {
  return Surroundings::Hot(w.grill_h * d.h, w.grill_c + d.hot_k);
}
Surroundings Above(const Hardware& w) { return Surroundings::Fluid(w.above_h, w.above_c); }
Surroundings Oven(const Hardware& w, const Deviation& d) {
  return {w.oven_h * d.h, w.oven_c + d.hot_k, true, w.oven_wetness, w.oven_vapour_pa};
}
Surroundings Room(const Hardware& w) {
  return {w.room_h, w.room_c, false, w.room_wetness, VapourOfAir(w.room_c, 0.5)};
}

void Sear(const CookRequest& r, const Deviation& d, std::vector<CookStage>& stages) {
  if (r.sear_seconds <= 0.0) return;
  const auto pan = Pan(r.hardware, d), above = Above(r.hardware);
  if (r.pause_seconds > 0.0) {
    stages.push_back({"pause in the room", Room(r.hardware), Room(r.hardware), r.pause_seconds});
  }
  stages.push_back({"sear, first side down", pan, above, r.sear_seconds});
  stages.push_back({"sear, second side down", above, pan, r.sear_seconds});
}

}  // namespace

std::vector<CookStage> Stages(const CookRequest& r, int flips, double x, double bath_s,
                              const Deviation& d) {
  std::vector<CookStage> stages;
  switch (r.method) {
    case Method::kPan:
    case Method::kGrill: {
      const bool pan = r.method == Method::kPan;
      const auto hot = pan ? Pan(r.hardware, d) : Grill(r.hardware, d);
      const auto above = Above(r.hardware);
      for (int i = 0; i <= flips; ++i) {
        const bool first = i % 2 == 0;
        stages.push_back(
            {fmt::format("{}, {} side down", pan ? "pan" : "grill", first ? "first" : "second"),
             first ? hot : above, first ? above : hot, x / (flips + 1)});
      }
      break;
    }
    case Method::kOven: {
      const auto oven = Oven(r.hardware, d);
      stages.push_back({"oven", oven, oven, x});
      break;
    }
    case Method::kReverseSear: {
      const auto oven = Oven(r.hardware, d);
      stages.push_back({"oven", oven, oven, x});
      Sear(r, d, stages);
      break;
    }
    case Method::kBathThenSear: {
      const auto water = Surroundings::Fluid(r.hardware.bath_h * d.h, x);
      stages.push_back({"water bath, in its bag", water, water, bath_s});
      Sear(r, d, stages);
      break;
    }
  }
  return stages;
}

CookRun RunCook(const CookRequest& r, int flips, double x, const Deviation& d, bool fine,
                HeatedPiece& piece, std::vector<HeatedPiece::Cell>* at_pull, double bath_s) {
  HeatingOptions options;
  options.tolerance_k = fine ? 0.01 : 0.05;
  options.track = fine;
  options.record = fine;
  CookRun run;
  run.bath_s = bath_s;
  if (r.method == Method::kBathThenSear && bath_s == 0.0) {
    // Until the core is within half a kelvin of the bath, and the hold is met if that is asked.
    const auto water = Surroundings::Fluid(r.hardware.bath_h * d.h, x);
    HeatingOptions slow = options;
    slow.first_step_s = 5.0;
    slow.record = false;
    slow.track = false;
    HeatedPiece probe = piece;
    double credit = 0.0;
    TimedTemperature last{0.0, probe.Core()};
    while (probe.seconds() < 24.0 * 3600.0) {
      if (probe.Heat(water, water, 120.0, slow) != Outcome::kDone) break;
      const TimedTemperature pair[] = {last, {probe.seconds(), probe.Core()}};
      credit += LogCredit(pair);
      last = pair[1];
      if (last.t_c >= x - 0.5 && (!r.meet_table || credit >= 1.0 || x < kTableStartC + 0.2)) break;
    }
    run.bath_s = probe.seconds();
  }
  for (const CookStage& stage : Stages(r, flips, x, run.bath_s, d)) {
    run.outcome = piece.Heat(stage.a, stage.b, stage.seconds, options);
    if (run.outcome != Outcome::kDone) return run;
  }
  run.pull_c = piece.Core();
  run.pull_s = piece.seconds();
  if (at_pull != nullptr) *at_pull = piece.Cells();
  // Rest until the core falls.
  const auto room = Room(r.hardware);
  const double chunk = std::max(10.0, 0.02 * r.thickness_mm * r.thickness_mm);
  HeatingOptions rest = options;
  rest.first_step_s = 2.0;
  double before = run.pull_c, now = run.pull_c;
  run.peak_c = run.pull_c;
  run.peak_s = run.pull_s;
  HeatedPiece last = piece;
  for (int i = 0; i < 60; ++i) {
    last = piece;
    run.outcome = piece.Heat(room, room, chunk, rest);
    if (run.outcome != Outcome::kDone) return run;
    const double next = piece.Core();
    if (next < now) {
      // The parabola through the three last points.
      const double bend = before - 2.0 * now + next;
      const double shift = i == 0 || bend >= 0.0 ? 0.0 : 0.5 * (before - next) / bend;
      run.peak_c = i == 0 ? now : now - 0.25 * (before - next) * shift;
      run.peak_s = last.seconds() + shift * chunk;
      if (run.peak_s < run.pull_s) run.peak_s = run.pull_s;
      piece = last;
      return run;
    }
    before = now;
    now = next;
    run.peak_c = now;
    run.peak_s = piece.seconds();
    rest.first_step_s = chunk;
  }
  return run;
}

}  // namespace ribwright::cooking
