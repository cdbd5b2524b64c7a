// SPDX-License-Identifier: Apache-2.0
#include "cooking/cook_plan.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>

#include "cooking/cook_run.h"
#include "cooking/juice.h"
#include "cooking/lethality.h"

namespace ribwright::cooking {
namespace {

constexpr const char* kDoubtBasis =
    "thickness, heat transfer 30 %, hot surface 10 K, start 1 K, conductivity 8 %";

class Planner {
 public:
  Planner(const CookRequest& request, const Composition& composition)
      : request_(request), composition_(composition), material_(*Material::Of(composition)) {}

  HeatedPiece Piece(const Material& material, const Deviation& d) const {
    const int cells = std::clamp(static_cast<int>(std::lround(request_.thickness_mm)), 16, 80);
    return HeatedPiece(material, request_.thickness_mm * 1e-3 * d.thickness, cells,
                       request_.start_c + d.start_k);
  }

  CookRun Try(int flips, double x) {
    ++runs_;
    HeatedPiece piece = Piece(material_, {});
    return RunCook(request_, flips, x, {}, false, piece);
  }

  CookRun TryDeviated(int flips, double x, double bath_s, const Deviation& d) {
    ++runs_;
    const Material changed =
        d.conductivity == 1.0 ? material_ : *Material::Of(composition_, d.conductivity);
    HeatedPiece piece = Piece(changed, d);
    return RunCook(request_, flips, x, d, false, piece, nullptr, bath_s);
  }

  // The x whose peak core temperature is the target.
  Result<double> Search(int flips);
  int runs() const { return runs_; }
  int runs_ = 0;
  const CookRequest& request_;
  const Composition& composition_;
  const Material material_;
};

Result<double> Planner::Search(int flips) {
  const double target = request_.target_c;
  const auto miss = [&](double x) -> std::optional<double> {
    const CookRun run = Try(flips, x);
    if (run.outcome != Outcome::kDone) return std::nullopt;
    return run.peak_c - target;
  };
  const auto unreachable = [&](const char* why, const char* mend) {
    return Fail(Code::kCookUnusable,
                fmt::format("The core cannot peak at {:.1f} \u00b0C this way: {}.", target, why),
                "target", mend);
  };
  double low, high;
  std::optional<double> at_low, at_high;
  if (request_.method == Method::kBathThenSear) {
    low = std::max(request_.start_c + 10.0, target - 12.0);
    high = target + 1.5;
    at_low = miss(low);
    at_high = miss(high);
  } else {
    // A guess from the time that heat takes to the middle; doubled or halved to a bracket.
    const double half = 0.5e-3 * request_.thickness_mm;
    double x = half * half / 1.3e-7 * 0.45;
    if (request_.method == Method::kOven || request_.method == Method::kReverseSear) x *= 3.0;
    auto at = miss(x);
    if (!at) return unreachable("the simulation leaves its range", "Use a cooler surface.");
    low = high = x;
    at_low = at_high = at;
    for (int i = 0; i < 14 && at_high && *at_high < 0.0; ++i) {
      low = high;
      at_low = at_high;
      high *= 1.6;
      at_high = miss(high);
      if (high > 12.0 * 3600.0) break;
    }
    for (int i = 0; i < 14 && at_low && *at_low > 0.0; ++i) {
      high = low;
      at_high = at_low;
      low /= 1.6;
      at_low = miss(low);
    }
  }
  if (!at_low || !at_high) {
    return unreachable("the simulation leaves its range", "Use a cooler surface.");
  }
  if (*at_high < 0.0) {
    return unreachable("the heat levels off below it", "Raise the heat or lower the target.");
  }
  if (*at_low > 0.0) {
    return unreachable("even the shortest cook overshoots", "Shorten the sear, or lower the heat.");
  }
  // Illinois' variant of false position.
  double x = high;
  int side = 0;
  for (int i = 0; i < 40; ++i) {
    x = (low * *at_high - high * *at_low) / (*at_high - *at_low);
    const auto at = miss(x);
    if (!at) return unreachable("the simulation leaves its range", "Use a cooler surface.");
    if (std::fabs(*at) < 0.1) break;
    if (*at > 0.0) {
      high = x;
      at_high = at;
      if (side == 1) *at_low *= 0.5;
      side = 1;
    } else {
      low = x;
      at_low = at;
      if (side == -1) *at_high *= 0.5;
      side = -1;
    }
  }
  return x;
}

double Grey(const std::vector<HeatedPiece::Cell>& cells, double crust_m, bool from_a) {
  double depth = crust_m;
  const auto n = cells.size();
  for (std::size_t i = 0; i < n; ++i) {
    const auto& c = cells[from_a ? i : n - 1 - i];
    const double limit = 1.0 - kGreyShare;
    if (c.myoglobin > limit) {
      // The part of this cell beside the last grey one, by the logarithm's straight line.
      if (i > 0) {
        const auto& last = cells[from_a ? i - 1 : n - i];
        const double a = std::log(std::max(last.myoglobin, 1e-12)), b = std::log(c.myoglobin);
        depth += (std::log(limit) - a) / (b - a) * c.width_m - 0.5 * c.width_m;
      }
      break;
    }
    depth += c.width_m;
  }
  return std::max(depth, crust_m);
}

Measured Around(double value, double half_width, std::string unit, std::string basis) {
  return Measured::Of(value, value - half_width, value + half_width, std::move(unit),
                      std::move(basis));
}

void FillDoubt(Planner& planner, int flips, double x, const CookRun& run, CookPlan& plan) {
  const CookRequest& r = planner.request_;
  const double bath_s = run.bath_s;
  const bool bath = r.method == Method::kBathThenSear;
  const CookRun base = planner.TryDeviated(flips, x, bath_s, {});
  double pull = 0.0, peak = 0.0;
  const auto add = [&](const Deviation& d) {
    const CookRun run_d = planner.TryDeviated(flips, x, bath_s, d);
    if (run_d.outcome != Outcome::kDone) return;
    pull += std::pow(run_d.pull_c - base.pull_c, 2);
    peak += std::pow(run_d.peak_c - base.peak_c, 2);
  };
  Deviation d;
  d.thickness = 1.0 + r.thickness_doubt_mm / r.thickness_mm;
  add(d);
  d = {};
  d.h = 1.3;
  add(d);
  d = {};
  d.hot_k = 10.0;
  add(d);
  d = {};
  d.start_k = std::min(1.0, kFreezingC + 1e-3 < r.start_c ? 1.0 : 0.5);
  add(d);
  d = {};
  d.conductivity = 1.08;
  add(d);
  plan.pull_c = Around(run.pull_c, std::sqrt(pull), "\u00b0C", kDoubtBasis);
  plan.peak_c = Around(run.peak_c, std::sqrt(peak), "\u00b0C", kDoubtBasis);
  if (bath) {
    plan.cook_min = Measured::Exact(plan.cook_s / 60.0, "min", "as planned; a bath forgives time");
    return;
  }
  // Kelvins to seconds by the plan's own slope.
  const CookRun longer = planner.TryDeviated(flips, 1.03 * x, bath_s, {});
  const double slope = (longer.peak_c - base.peak_c) / (0.03 * x);
  const double half = slope > 1e-6 ? std::sqrt(peak) / slope / 60.0 : plan.cook_s / 60.0;
  plan.cook_min = Around(plan.cook_s / 60.0, half, "min", kDoubtBasis);
}

Result<CookPlan> Detail(Planner& planner, int flips, double x) {
  const CookRequest& r = planner.request_;
  CookPlan plan;
  plan.method = r.method;
  plan.flips = flips;
  HeatedPiece piece = planner.Piece(planner.material_, {});
  std::vector<HeatedPiece::Cell> at_pull;
  const CookRun run = RunCook(r, flips, x, {}, true, piece, &at_pull);
  if (run.outcome != Outcome::kDone) {
    return Fail(Code::kCookUnusable, "The simulated cook leaves the range that is known.", "cook",
                "Use a cooler surface.");
  }
  double at = 0.0;
  for (const CookStage& stage : Stages(r, flips, x, run.bath_s)) {
    plan.steps.push_back({stage.what, at, stage.seconds});
    at += stage.seconds;
  }
  plan.cook_s = run.pull_s;
  plan.rest_s = std::max(0.0, run.peak_s - run.pull_s);
  plan.steps.push_back({"rest", plan.cook_s, plan.rest_s});
  if (r.method == Method::kBathThenSear) plan.bath_c = x;
  plan.crust_a_mm = piece.CrustA() * 1e3;
  plan.crust_b_mm = piece.CrustB() * 1e3;
  const auto cells = piece.Cells();
  plan.grey_a_mm = Grey(cells, piece.CrustA(), true) * 1e3;
  plan.grey_b_mm = Grey(cells, piece.CrustB(), false) * 1e3;
  for (std::size_t i = 0; i < cells.size(); ++i) {
    plan.through.push_back({cells[i].x_m * 1e3, at_pull[i].t_c, cells[i].t_c, cells[i].peak_c});
  }
  plan.record = piece.history();
  std::vector<TimedTemperature> coldest;
  for (const Sample& s : plan.record) {
    coldest.push_back({s.seconds, s.coldest_c});
    plan.face_a_peak_c = std::max(plan.face_a_peak_c, s.face_a_c);
    plan.face_b_peak_c = std::max(plan.face_b_peak_c, s.face_b_c);
  }
  plan.table_credit = LogCredit(coldest);
  if (r.meet_table && plan.table_credit < 1.0) {
    return Fail(Code::kCookUnusable,
                fmt::format("With this sear the bath must stay at {:.1f} \u00b0C, too cool for the "
                            "published hold.",
                            x),
                "meet table", "Shorten the sear, pause before it, or raise the target.");
  }
  const double vapour = piece.VapourKgM2() / piece.StartKgM2() * 100.0;
  const double juice = piece.JuiceKgM2() / piece.StartKgM2() * 100.0;
  const double doubt = std::hypot(kJuiceDoubt * juice, 0.25 * vapour);
  plan.loss_pct = Around(vapour + juice, doubt, "%",
                         "juice a third, vapour a quarter (assumed); fat that runs off left out");
  plan.loss_pct.low = std::max(0.0, plan.loss_pct.low);
  if (r.weight_g > 0.0) {
    plan.serving_g = Measured::Of(r.weight_g * (1.0 - plan.loss_pct.value.value() / 100.0),
                                  r.weight_g * (1.0 - plan.loss_pct.high / 100.0),
                                  r.weight_g * (1.0 - plan.loss_pct.low / 100.0), "g",
                                  "raw weight less the loss");
  } else {
    plan.serving_g.reason = "no raw weight";
  }
  plan.heat = piece.summary();
  FillDoubt(planner, flips, x, run, plan);
  Serving serving;
  serving.meat = r.meat;
  serving.susceptible_guests = r.susceptible_guests;
  serving.bagged = r.method == Method::kBathThenSear;
  serving.bath_c = plan.bath_c;
  serving.bath_seconds = run.bath_s;
  serving.face_a_peak_c = plan.face_a_peak_c;
  serving.face_b_peak_c = plan.face_b_peak_c;
  serving.core_peak_c = run.peak_c;
  auto cautions = Advise(serving, coldest);
  if (!cautions) return Fail(cautions.error());
  plan.cautions = std::move(*cautions);
  return plan;
}

}  // namespace

Result<CookPlan> PlanCook(const CookRequest& request) {
  if (const Status good = CheckRequest(request); !good) return Fail(good.error());
  const auto composition = CompositionFromFat(request.fat_pct);
  if (!composition) return Fail(composition.error());
  Planner planner(request, *composition);
  const bool turned = request.method == Method::kPan || request.method == Method::kGrill;
  std::vector<int> tries{0};
  if (turned)
    tries = request.flips >= 0 ? std::vector<int>{request.flips} : std::vector<int>{1, 3, 5, 9};
  std::optional<int> best;
  double best_x = 0.0, best_grey = 0.0;
  for (const int flips : tries) {
    const auto x = planner.Search(flips);
    if (!x) {
      if (best) break;
      return Fail(x.error());
    }
    if (best && *x / (flips + 1) < 20.0) break;  // a side under 20 s is no way to work
    if (tries.size() == 1) {
      best = flips;
      best_x = *x;
      break;
    }
    HeatedPiece piece = planner.Piece(planner.material_, {});
    ++planner.runs_;
    const CookRun run = RunCook(request, flips, *x, {}, true, piece);
    if (run.outcome != Outcome::kDone) break;
    const auto cells = piece.Cells();
    const double grey =
        (Grey(cells, piece.CrustA(), true) + Grey(cells, piece.CrustB(), false)) * 1e3;
    if (best && grey > best_grey - 0.5) break;
    best = flips;
    best_x = *x;
    best_grey = grey;
  }
  if (!best) {
    return Fail(Code::kCookUnusable, "The simulated cook leaves the range that is known.", "cook",
                "Use a cooler surface.");
  }
  auto plan = Detail(planner, *best, best_x);
  if (!plan) return Fail(plan.error());
  plan->runs = planner.runs();
  return plan;
}

}  // namespace ribwright::cooking
