// SPDX-License-Identifier: Apache-2.0
#include "cooking/probe.h"

#include <fmt/format.h>

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <optional>

namespace ribwright::cooking {
namespace {

constexpr int kUnknown = 5;
using Vector = Eigen::Matrix<double, kUnknown, 1>;
using Square = Eigen::Matrix<double, kUnknown, kUnknown>;
constexpr double kReadingK = 0.4;
constexpr double kSpread[kUnknown] = {0.087, 0.18, 10.0, 0.8, 0.04};

// From standard scores, so that the prior is a unit sphere.
Deviation DeviationOf(const Vector& z) {
  Deviation d;
  d.thickness = std::exp(kSpread[0] * z[0]);
  d.h = std::exp(kSpread[1] * z[1]);
  d.hot_k = kSpread[2] * z[2];
  d.start_k = kSpread[3] * z[3];
  d.conductivity = std::exp(kSpread[4] * z[4]);
  return d;
}

Status CheckReadings(const CookRequest& r, std::span<const TimedTemperature> readings) {
  const auto refuse = [](std::string message, std::string mend) {
    return Fail(Code::kProbeUnusable, std::move(message), "readings", std::move(mend));
  };
  if (readings.size() < 3) {
    return refuse("Three readings at least are needed.", "Go on reading, every 10 to 30 seconds.");
  }
  for (const auto& p : readings) {
    if (!std::isfinite(p.t_c) || !std::isfinite(p.seconds) || p.seconds < 0.0) {
      return refuse("A reading is no number.", "Give seconds since the start and degrees Celsius.");
    }
  }
  const double first = readings.front().t_c;
  const double converted = (first - 32.0) / 1.8;
  if (readings.front().seconds < 300.0 && first > r.start_c + 15.0 &&
      std::fabs(converted - r.start_c) < 8.0) {
    return refuse(fmt::format("The first reading of {:.0f} looks like Fahrenheit ({:.1f} \u00b0C).",
                              first, converted),
                  "Set the probe to Celsius, or convert.");
  }
  for (std::size_t i = 1; i < readings.size(); ++i) {
    const double dt = readings[i].seconds - readings[i - 1].seconds;
    const double dk = readings[i].t_c - readings[i - 1].t_c;
    if (dt <= 0.0) return refuse("The times of the readings do not rise.", "Sort them by time.");
    if (dk > 4.0 + 0.25 * dt || dk < -3.0) {
      return refuse(fmt::format("Between {:.0f} and {:.0f} s the reading jumps by {:.1f} K: the "
                                "probe has left the meat's middle or touches the pan.",
                                readings[i - 1].seconds, readings[i].seconds, dk),
                    "Put its tip in the middle again and start the readings anew.");
    }
    if (readings[i].t_c > 100.5) {
      return refuse("The middle of meat does not pass 100 \u00b0C.",
                    "Look where the probe's tip is, and whether it reads Fahrenheit.");
    }
  }
  return {};
}

}  // namespace

CookCourse CourseOf(const CookPlan& plan) {
  CookCourse course;
  course.flips = plan.flips;
  course.pull_c = plan.pull_c.value.value_or(0.0);
  course.x = plan.cook_s;
  if (plan.method == Method::kReverseSear) course.x = plan.steps.front().lasts_s;
  if (plan.method == Method::kBathThenSear) {
    course.x = plan.bath_c;
    course.bath_s = plan.steps.front().lasts_s;
  }
  return course;
}

std::vector<TimedTemperature> CoreCurve(const CookRequest& request, const CookCourse& course,
                                        const Deviation& d, double until_s) {
  std::vector<TimedTemperature> curve;
  const auto composition = CompositionFromFat(request.fat_pct);
  const auto material = composition ? Material::Of(*composition, d.conductivity)
                                    : Result<Material>(Fail(composition.error()));
  if (!material) return curve;
  const int cells = std::clamp(static_cast<int>(std::lround(request.thickness_mm)), 16, 80);
  HeatedPiece piece(*material, request.thickness_mm * 1e-3 * d.thickness, cells,
                    request.start_c + d.start_k);
  HeatingOptions options;
  options.tolerance_k = 0.05;
  options.track = false;
  options.record = true;
  options.longest_step_s = 20.0;
  auto stages = Stages(request, course.flips, course.x, course.bath_s, d);
  // Turning goes on in the rhythm of the last two stages; an oven or the last sear just goes on.
  const std::size_t planned = stages.size();
  for (std::size_t i = 0; piece.seconds() < until_s - 1e-9 && i < 200; ++i) {
    const bool turned = request.method == Method::kPan || request.method == Method::kGrill;
    const std::size_t index = i < planned              ? i
                              : turned && planned >= 2 ? planned - 2 + (i - planned) % 2
                                                       : planned - 1;
    const double lasts = std::min(stages[index].seconds, until_s - piece.seconds());
    if (piece.Heat(stages[index].a, stages[index].b, lasts, options) != Outcome::kDone) break;
  }
  for (const Sample& s : piece.history()) {
    if (curve.empty() || s.seconds > curve.back().seconds) curve.push_back({s.seconds, s.core_c});
  }
  return curve;
}

double ValueAt(std::span<const TimedTemperature> curve, double seconds) {
  const auto above =
      std::lower_bound(curve.begin(), curve.end(), seconds,
                       [](const TimedTemperature& p, double s) { return p.seconds < s; });
  if (above == curve.begin()) return curve.front().t_c;
  if (above == curve.end()) return curve.back().t_c;
  const auto& b = *above;
  const auto& a = *(above - 1);
  return a.t_c + (b.t_c - a.t_c) * (seconds - a.seconds) / (b.seconds - a.seconds);
}

double TimeAt(std::span<const TimedTemperature> curve, double t_c) {
  for (std::size_t i = 1; i < curve.size(); ++i) {
    if (curve[i].t_c < t_c) continue;
    const auto& a = curve[i - 1];
    const auto& b = curve[i];
    if (a.t_c >= t_c) return a.seconds;
    return a.seconds + (b.seconds - a.seconds) * (t_c - a.t_c) / (b.t_c - a.t_c);
  }
  return -1.0;
}

Result<LiveEstimate> EstimateLive(const CookRequest& request, const CookCourse& course,
                                  std::span<const TimedTemperature> readings) {
  if (const Status good = CheckRequest(request); !good) return Fail(good.error());
  if (const Status good = CheckReadings(request, readings); !good) return Fail(good.error());
  const double now = readings.back().seconds;
  double planned = 0.0;
  for (const auto& stage : Stages(request, course.flips, course.x, course.bath_s)) {
    planned += stage.seconds;
  }
  const double until = 2.2 * std::max(planned, now);
  const auto n = static_cast<Eigen::Index>(readings.size());
  Eigen::VectorXd residual(n), base(n);
  Eigen::MatrixXd slope(n, kUnknown);
  const auto predict = [&](const Vector& z, double end, Eigen::VectorXd& out) {
    const auto curve = CoreCurve(request, course, DeviationOf(z), end);
    if (curve.size() < 2) return false;
    for (Eigen::Index i = 0; i < n; ++i) {
      out[i] = ValueAt(curve, readings[static_cast<std::size_t>(i)].seconds);
    }
    return true;
  };
  const auto unusable = [](std::string message) {
    return Fail(Code::kProbeUnusable, std::move(message), "readings",
                "Look at the probe's place, the thickness and the equipment given.");
  };
  LiveEstimate out;
  Vector z = Vector::Zero();
  Square precision = Square::Identity();
  constexpr double kNudge = 0.1;
  for (int round = 0; round < 5; ++round) {
    ++out.iterations;
    if (!predict(z, now, base)) return unusable("No simulated cook fits the readings.");
    for (int j = 0; j < kUnknown; ++j) {
      Vector nudged = z;
      nudged[j] += kNudge;
      Eigen::VectorXd moved(n);
      if (!predict(nudged, now, moved)) return unusable("No simulated cook fits the readings.");
      slope.col(j) = (moved - base) / kNudge;
    }
    for (Eigen::Index i = 0; i < n; ++i) {
      residual[i] = readings[static_cast<std::size_t>(i)].t_c - base[i];
    }
    precision = slope.transpose() * slope / (kReadingK * kReadingK) + Square::Identity();
    const Vector right = slope.transpose() * residual / (kReadingK * kReadingK) - z;
    Vector step = precision.ldlt().solve(right);
    const double longest = step.cwiseAbs().maxCoeff();
    if (longest > 1.5) step *= 1.5 / longest;
    z += step;
    z = z.cwiseMax(-4.0).cwiseMin(4.0);
    if (longest < 0.02) break;
  }
  if (!predict(z, now, base)) return unusable("No simulated cook fits the readings.");
  double squares = 0.0;
  for (Eigen::Index i = 0; i < n; ++i) {
    squares += std::pow(readings[static_cast<std::size_t>(i)].t_c - base[i], 2);
  }
  out.misfit_k = std::sqrt(squares / static_cast<double>(n));
  if (out.misfit_k > 4.0 * kReadingK) {
    return unusable(
        fmt::format("No piece like the one given explains the readings: they miss the "
                    "closest one by {:.1f} K.",
                    out.misfit_k));
  }
  // Carried to the pull time (and to the core now) along the likely cook's slopes.
  const Square spread = precision.inverse();
  const auto likely = CoreCurve(request, course, DeviationOf(z), until);
  const double pull = TimeAt(likely, course.pull_c);
  Vector by_time = Vector::Zero(), by_core = Vector::Zero();
  bool all = pull >= 0.0;
  for (int j = 0; j < kUnknown; ++j) {
    Vector nudged = z;
    nudged[j] += kNudge;
    const auto curve = CoreCurve(request, course, DeviationOf(nudged), until);
    const double at = TimeAt(curve, course.pull_c);
    all = all && at >= 0.0;
    by_time[j] = (at - pull) / kNudge;
    by_core[j] = (ValueAt(curve, now) - ValueAt(likely, now)) / kNudge;
  }
  constexpr double kNinety = 1.645;
  constexpr const char* kBasis = "probe readings on simulated cooks";
  const double core = ValueAt(likely, now);
  const double core_half = kNinety * std::sqrt(by_core.dot(spread * by_core));
  out.now_s = now;
  out.core_c = Measured::Of(core, core - core_half, core + core_half, "\u00b0C", kBasis);
  out.likely = DeviationOf(z);
  out.reached = core >= course.pull_c;
  if (!all) {
    out.pull_s.reason = out.left_s.reason = "the core does not get there within twice the plan";
    return out;
  }
  const double half = kNinety * std::sqrt(by_time.dot(spread * by_time));
  out.pull_s = Measured::Of(pull, pull - half, pull + half, "s", kBasis);
  out.left_s = Measured::Of(std::max(0.0, pull - now), std::max(0.0, pull - half - now),
                            std::max(0.0, pull + half - now), "s", kBasis);
  return out;
}

}  // namespace ribwright::cooking
