// SPDX-License-Identifier: Apache-2.0
// What the cooking layer set itself, measured: `bench/reach cooking`.
#include <algorithm>
#include <cmath>
#include <cstdio>
#include <ctime>
#include <functional>
#include <limits>
#include <string>
#include <vector>

#include "base/golden.h"
#include "cooking/bath_time.h"
#include "cooking/conduction.h"
#include "cooking/lethality.h"
#include "cooking/probe.h"
#include "cooking/section.h"
#include "cooking/series.h"
#include "math/rng.h"
#include "reach_rows.h"
#ifdef RIBWRIGHT_CVODE
#include "cooking/reference/cvode_slab.h"
#endif

namespace ribwright::bench {
namespace {

using namespace cooking;  // NOLINT: this file is about one layer

constexpr double kK = 0.48, kC = 3.6e6;

// Processor time of the quickest of some runs, ms: other work on the machine does not count.
double Milliseconds(int runs, const std::function<void()>& work) {
  double best = std::numeric_limits<double>::infinity();
  for (int i = 0; i < runs; ++i) {
    const std::clock_t start = std::clock();
    work();
    const double took = 1e3 * static_cast<double>(std::clock() - start) / CLOCKS_PER_SEC;
    best = std::min(best, took);
  }
  return best;
}

double WorstAgainstSeries() {
  double worst = 0.0;
  for (const Body body : {Body::kSlab, Body::kCylinder, Body::kSphere}) {
    const bool slab = body == Body::kSlab;
    for (const double half_mm : {15.0, 30.0, 60.0}) {
      if (!slab && half_mm < 30.0) continue;
      for (const double biot : {0.1, 1.0, 10.0, std::numeric_limits<double>::infinity()}) {
        const double half = half_mm * 1e-3;
        const Material m = Material::Constant(kK, kC);
        HeatedPiece piece(m, slab ? 2 * half : half, static_cast<int>(slab ? 2 * half_mm : half_mm),
                          5.0,
                          slab                      ? 0.0
                          : body == Body::kCylinder ? 1.0
                                                    : 2.0);
        const Series series(body, biot);
        const auto around = std::isinf(biot) ? Surroundings::Held(100.0)
                                             : Surroundings::Fluid(biot * kK / half, 100.0);
        HeatingOptions options;
        options.tolerance_k = 1e-3;
        double last = 0.0;
        for (const double fo : {0.1, 0.2, 0.5, 1.0, 2.0}) {
          piece.Heat(around, around, (fo - last) * half * half * kC / kK, options);
          last = fo;
          worst = std::max(worst, std::fabs(piece.Core() - 100.0 + 95.0 * series.Theta(0, fo)));
          worst = std::max(worst, std::fabs(piece.Mean() - 100.0 + 95.0 * series.Mean(fo)));
        }
      }
    }
  }
  return worst;
}

// Order from a mode that decays at its exact rate; the lower of cylinder and sphere.
double Order() {
  double lowest = 99.0;
  for (const Body body : {Body::kCylinder, Body::kSphere}) {
    double error[2];
    for (int fine = 0; fine < 2; ++fine) {
      const Term mode = Series(body, 10.0).OneTerm();
      const Material m = Material::Constant(kK, kC);
      HeatedPiece piece(m, 0.02, fine ? 20 : 10, 0.0, body == Body::kCylinder ? 1.0 : 2.0);
      std::vector<double> start;
      for (const auto& cell : piece.Cells()) {
        const double z = mode.zeta * cell.x_m / 0.02;
        start.push_back(100.0 *
                        (body == Body::kCylinder ? std::cyl_bessel_j(0.0, z) : std::sin(z) / z));
      }
      piece.StartFrom(start);
      HeatingOptions options;
      options.tolerance_k = 1e-6;
      const auto around = Surroundings::Fluid(10.0 * kK / 0.02, 0.0);
      piece.Heat(around, around, 0.3 * 4e-4 * kC / kK, options);
      error[fine] = std::fabs(piece.Core() - 100.0 * std::exp(-0.3 * mode.zeta * mode.zeta));
    }
    lowest = std::min(lowest, std::log2(error[0] / error[1]));
  }
  return lowest;
}

void BathRows(const std::string& source, std::vector<Row>& rows) {
  const auto golden = ReadGolden(source + "/tests/golden/cooking_bath_time.csv",
                                 {{"thickness_mm"}, {"bath_c"}, {"start_c"}});
  if (!golden) {
    rows.push_back(Skipped("pasteurisation table", "rms 7 %", golden.error().message));
    return;
  }
  double squares = 0.0, shortest = 0.0;
  for (const GoldenRow& row : *golden) {
    const auto seconds =
        BathSeconds(row.Number("thickness_mm"), row.Number("bath_c"), row.Number("start_c"));
    const double off = seconds ? *seconds / 60.0 / row.ExpectedNumber() - 1.0 : 1.0;
    squares += off * off;
    shortest = std::max(shortest, -off);
  }
  const double n = static_cast<double>(golden->size());
  rows.push_back(AtMost("pasteurisation table, rms", 100 * std::sqrt(squares / n), 7.0, "%", 1));
  rows.push_back(
      AtMost("pasteurisation table, worst on the unsafe side", 100 * shortest, 12.0, "%", 1));
}

void LethalityRows(std::vector<Row>& rows) {
  rows.push_back(
      AtMost("lethality, log-linear fit, rms in time", 100 * FitTable().rms_relative, 5.0, "%", 1));
  int shorter = 0;
  for (const LogLine line : {LogLine::kSixAndHalf, LogLine::kSeven}) {
    for (const HoldRow& row : HoldTable(line)) {
      for (const double t : {row.printed_c, (row.fahrenheit - 32.0) / 1.8}) {
        shorter += HoldSeconds(t, line).value_or(1e9) < row.seconds - 1e-9;
      }
    }
  }
  rows.push_back(
      AtMost("lethality, advice shorter than a row of the table", shorter, 0, "rows", 0));
}

void CvodeRows(std::vector<Row>& rows) {
#ifdef RIBWRIGHT_CVODE
  const Material beef = *Material::Of(*CompositionFromFat(12.0));
  const auto hot = Surroundings::Fluid(150.0, 95.0);
  const Surroundings air{15.0, 22.0, false, 0.3, VapourOfAir(22.0, 0.5)};
  const std::vector<ReferenceStage> stages{
      {hot, air, 200.0}, {air, hot, 200.0}, {hot, air, 100.0}, {air, air, 300.0}};
  const ReferenceRun fine = RunByCvode(beef, 0.03, 480, 5.0, stages, 1e-8, 1e-8);
  HeatingOptions options;
  options.tolerance_k = 0.01;
  options.track = false;
  double core = 0.0;
  const double ours = Milliseconds(30, [&] {
    HeatedPiece piece(beef, 0.03, 30, 5.0);
    for (const auto& s : stages) piece.Heat(s.a, s.b, s.seconds, options);
    core = piece.Core();
  });
  rows.push_back(
      AtMost("core against CVODE on 480 cells", std::fabs(core - fine.core_c), 0.02, "K", 4));
  // CVODE on plain volumes needs 60 cells and 1e-5 to come within 0.02 K of itself.
  ReferenceRun run;
  const double theirs =
      Milliseconds(30, [&] { run = RunByCvode(beef, 0.03, 60, 5.0, stages, 1e-5, 1e-4); });
  rows.push_back(
      AtLeast("times faster than CVODE (60 cells, 1e-5) at that error", theirs / ours, 5.0, "x", 1,
              "CVODE's own error " + std::to_string(std::fabs(run.core_c - fine.core_c)) + " K"));
#else
  rows.push_back(
      Skipped("core against CVODE", "0.02 K", "libsundials-dev is not there: bench/setup"));
#endif
}

void SpeedRows(std::vector<Row>& rows) {
  CookRequest r;
  r.thickness_mm = 32.0;
  r.target_c = 55.0;
  rows.push_back(AtMost("plan of a pan cook: minutes, flips, pull, doubt",
                        Milliseconds(10, [&] { static_cast<void>(PlanCook(r)); }), 50.0, "ms", 1));
  const Material beef = *Material::Of(*CompositionFromFat(12.0));
  const auto oven = Surroundings::Fluid(25.0, 150.0);
  rows.push_back(AtMost("section of 60 x 60 cells, 100 steps",
                        Milliseconds(10,
                                     [&] {
                                       HeatedSection s(beef, 0.06, 0.06, 60, 60, 5.0);
                                       s.Heat({oven, oven, oven, oven}, 1200.0, 100);
                                     }),
                        30.0, "ms", 1));
}

void ProbeRows(std::vector<Row>& rows) {
  CookRequest r;
  r.thickness_mm = 30.0;
  r.target_c = 55.0;
  r.flips = 3;
  const auto plan = PlanCook(r);
  if (!plan) {
    rows.push_back(Skipped("live probe", "45 s", plan.error().message));
    return;
  }
  const CookCourse course = CourseOf(*plan);
  math::Rng rng(20260);
  std::vector<double> errors;
  int held = 0;
  constexpr int kCooks = 150;
  for (int i = 0; i < kCooks; ++i) {
    Deviation d;
    d.thickness = rng.Uniform(0.85, 1.15);
    d.h = std::exp(rng.Normal(0.0, 0.18));
    d.hot_k = rng.Normal(0.0, 10.0);
    d.start_k = rng.Normal(0.0, 0.8);
    d.conductivity = std::exp(rng.Normal(0.0, 0.04));
    const auto truth = CoreCurve(r, course, d, 2.2 * plan->cook_s);
    const double pull = TimeAt(truth, course.pull_c);
    std::vector<TimedTemperature> readings;
    for (double t = 10.0; t <= 0.5 * pull; t += 10.0) {
      readings.push_back({t, ValueAt(truth, t) + rng.Normal(0.0, 0.4)});
    }
    const auto live = EstimateLive(r, course, readings);
    if (!live || !live->pull_s.value) {
      errors.push_back(1e3);
      continue;
    }
    errors.push_back(std::fabs(*live->pull_s.value - pull));
    held += live->pull_s.low <= pull && pull <= live->pull_s.high;
  }
  rows.push_back(AtMost("live probe at half time, 90 % of errors in time to pull under",
                        Quantile(errors, 0.9), 45.0, "s", 0));
  rows.push_back(Between("live probe, truth within the 90 % interval", 100.0 * held / kCooks, 85.0,
                         95.0, "%", 1));
}

int Run(const std::string& source) {
  std::vector<Row> rows;
  rows.push_back(AtMost("solver against exact series at 1 mm, Bi 0.1 to infinity, 95 K",
                        WorstAgainstSeries(), 0.05, "K", 4));
  rows.push_back(AtLeast("solver, order in space (cylinder, sphere)", Order(), 1.9, "", 2));
  BathRows(source, rows);
  LethalityRows(rows);
  CvodeRows(rows);
  SpeedRows(rows);
  ProbeRows(rows);
  for (const Row& row : rows) std::printf("%s\n", Line(row).c_str());
  return ExitCode(rows);
}

}  // namespace
}  // namespace ribwright::bench

int main(int argc, char** argv) { return ribwright::bench::Run(argc > 1 ? argv[1] : "."); }
