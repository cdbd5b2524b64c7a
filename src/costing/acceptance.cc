// SPDX-License-Identifier: Apache-2.0
#include "costing/acceptance.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace ribwright::costing {
namespace {

constexpr int kLargestLot = 10'000;
constexpr int kLargestSample = 2'000;  // of a long run

double LogChoose(int n, int k) {
  return std::lgamma(n + 1.0) - std::lgamma(k + 1.0) - std::lgamma(n - k + 1.0);
}

double BinomialPmf(int n, int k, double p) {
  if (p <= 0.0) return k == 0 ? 1.0 : 0.0;
  if (p >= 1.0) return k == n ? 1.0 : 0.0;
  return std::exp(LogChoose(n, k) + k * std::log(p) + (n - k) * std::log1p(-p));
}

double BinomialCdf(int n, int c, double p) {
  double sum = 0.0;
  for (int k = 0; k <= std::min(c, n); ++k) sum += BinomialPmf(n, k, p);
  return std::min(sum, 1.0);
}

double HypergeometricPmf(int lot, int bad, int n, int k) {
  if (k < std::max(0, n - (lot - bad)) || k > std::min(n, bad)) return 0.0;
  return std::exp(LogChoose(bad, k) + LogChoose(lot - bad, n - k) - LogChoose(lot, n));
}

// At most c of k bad pieces shown as bad plus n - k good ones shown as bad.
double ShownCdf(int n, int k, int c, double se, double sp) {
  if (se == 1.0 && sp == 1.0) return k <= c ? 1.0 : 0.0;
  double sum = 0.0;
  for (int a = 0; a <= std::min(k, c); ++a) {
    sum += BinomialPmf(k, a, se) * BinomialCdf(n - k, c - a, 1.0 - sp);
  }
  return std::min(sum, 1.0);
}

double Accept(const SamplingPlan& plan, const Lot& lot, double share) {
  if (!lot.pieces) {
    const double shown = share * lot.sensitivity + (1.0 - share) * (1.0 - lot.specificity);
    return BinomialCdf(plan.sample, plan.allowed, shown);
  }
  const int bad = static_cast<int>(std::lround(share * *lot.pieces));
  double sum = 0.0;
  for (int k = 0; k <= std::min(plan.sample, bad); ++k) {
    const double p = HypergeometricPmf(*lot.pieces, bad, plan.sample, k);
    if (p > 0.0) {
      sum += p * ShownCdf(plan.sample, k, plan.allowed, lot.sensitivity, lot.specificity);
    }
  }
  return std::min(sum, 1.0);
}

Status CheckLot(const Lot& lot) {
  const bool pieces = !lot.pieces || (*lot.pieces >= 1 && *lot.pieces <= kLargestLot);
  const bool judge = lot.sensitivity > 0.0 && lot.sensitivity <= 1.0 && lot.specificity > 0.0 &&
                     lot.specificity <= 1.0 && lot.sensitivity + lot.specificity > 1.0;
  if (pieces && judge) return {};
  return Fail(Code::kDataUnusable, "The delivery or the judge's odds cannot be used.", "delivery",
              "Give 1 to 10000 pieces, and a judge that is right more often than a coin.");
}

Status CheckPlan(const SamplingPlan& plan, const Lot& lot) {
  const int most = lot.pieces.value_or(kLargestSample);
  if (plan.sample >= 1 && plan.sample <= most && plan.allowed >= 0 && plan.allowed <= plan.sample) {
    return {};
  }
  return Fail(Code::kDataUnusable,
              fmt::format("A sample of {} with {} allowed is no plan.", plan.sample, plan.allowed),
              "plan", fmt::format("Sample 1 to {} pieces; allow 0 to as many.", most));
}

}  // namespace

Result<double> OddsAccept(const SamplingPlan& plan, const Lot& lot, double share) {
  if (const Status fine = CheckLot(lot); !fine) return Fail(fine.error());
  if (const Status fine = CheckPlan(plan, lot); !fine) return Fail(fine.error());
  if (!(share >= 0.0 && share <= 1.0)) {
    return Fail(Code::kDataUnusable, "The share is not between 0 and 1.", "share", "Give 0 to 1.");
  }
  return Accept(plan, lot, share);
}

Result<SamplingPlan> SmallestPlan(const Lot& lot, const PlanWish& wish) {
  if (const Status fine = CheckLot(lot); !fine) return Fail(fine.error());
  const auto risk = [](double r) { return r > 0.0 && r < 0.5; };
  if (!(wish.good_share >= 0.0 && wish.good_share < wish.bad_share && wish.bad_share <= 1.0) ||
      !risk(wish.producer_risk) || !risk(wish.consumer_risk)) {
    return Fail(Code::kDataUnusable, "The wish for a plan contradicts itself.", "plan",
                "Give a good share below the bad one, and risks between 0 and 50 %.");
  }
  const int most = lot.pieces.value_or(kLargestSample);
  int c = 0;
  for (int n = 1; n <= most; ++n) {
    // For each n the fewest allowed that keep the producer's risk; it never falls as n grows.
    while (c < n && Accept({n, c}, lot, wish.good_share) < 1.0 - wish.producer_risk) ++c;
    if (Accept({n, c}, lot, wish.good_share) < 1.0 - wish.producer_risk) continue;
    if (Accept({n, c}, lot, wish.bad_share) <= wish.consumer_risk) return SamplingPlan{n, c};
  }
  return Fail(Code::kDataUnusable,
              fmt::format("No sample of up to {} pieces keeps both risks.", most), "plan",
              "Allow more risk, set the shares further apart, or judge with better photos.");
}

Result<std::vector<OcPoint>> OperatingCharacteristic(const SamplingPlan& plan, const Lot& lot,
                                                     int points) {
  if (const Status fine = CheckLot(lot); !fine) return Fail(fine.error());
  if (const Status fine = CheckPlan(plan, lot); !fine) return Fail(fine.error());
  std::vector<OcPoint> curve;
  const int steps =
      lot.pieces ? std::min(*lot.pieces, std::max(points - 1, 1)) : std::max(points - 1, 1);
  for (int i = 0; i <= steps; ++i) {
    double share = static_cast<double>(i) / steps;
    if (lot.pieces) share = std::round(share * *lot.pieces) / *lot.pieces;
    curve.push_back({share, Accept(plan, lot, share)});
  }
  return curve;
}

}  // namespace ribwright::costing
