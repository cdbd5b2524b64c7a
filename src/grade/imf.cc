// SPDX-License-Identifier: Apache-2.0
#include "grade/imf.h"

#include <cmath>
#include <vector>

#include "base/check.h"
#include "grade/weight.h"

namespace ribwright::grade {
namespace {

constexpr double kLineFullArea = 30.0;     // %, assumed
constexpr double kLineDoubtedArea = 70.0;  // %, assumed
// (39.8 - 2.1) / 4 * sqrt(1 - 0.96), Kuchida's range of fat and r2.
constexpr double kLineResidual = 1.9;
constexpr double kBalanceLogSd = 0.25;
constexpr double kMethodSd = 0.5;
constexpr double kOtherMuscleFactor = 1.5;

double SmoothStep(double x) { return x * x * (3.0 - 2.0 * x); }

}  // namespace

double FatFromAreaLine(double area_pct, AreaLine line) {
  // Kuchida et al. 2000, J Anim Sci 78:799-803 (abstract); read.
  switch (line) {
    case AreaLine::kStationA:
      return 0.741 * area_pct - 2.22;
    case AreaLine::kStationB:
      return 0.782 * area_pct - 2.54;
    case AreaLine::kAll:
      break;
  }
  return 0.793 * area_pct - 3.04;
}

double FatFromAreaBalance(double area_pct, double unseen_pct) {
  RIBWRIGHT_CHECK(area_pct >= 0.0 && area_pct <= 100.0);
  static const double fatty = FattyTissueDensity();
  static const double lean = LeanDensity(0.0);
  const double a = area_pct / 100.0;
  const double fat_mass = a * fatty;
  const double lean_mass = (1.0 - a) * lean;
  return (fat_mass * 100.0 * kFatOfFattyTissue + lean_mass * unseen_pct) / (fat_mass + lean_mass);
}

double LineWeight(double area_pct) {
  if (area_pct <= kLineLowestArea) return 0.0;
  if (area_pct < kLineFullArea) {
    return SmoothStep((area_pct - kLineLowestArea) / (kLineFullArea - kLineLowestArea));
  }
  if (area_pct <= kLineHighestArea) return 1.0;
  if (area_pct >= kLineDoubtedArea) return 0.5;
  return 1.0 -
         0.5 * SmoothStep((area_pct - kLineHighestArea) / (kLineDoubtedArea - kLineHighestArea));
}

double MedianFat(double area_pct) {
  const double w = LineWeight(area_pct);
  return w * FatFromAreaLine(area_pct) + (1.0 - w) * FatFromAreaBalance(area_pct);
}

double AreaFromMedianFat(double fat_pct) {
  double low = 0.0;
  double high = 100.0;
  RIBWRIGHT_CHECK(fat_pct >= MedianFat(low) && fat_pct <= MedianFat(high));
  for (int i = 0; i < 60; ++i) {
    const double mid = 0.5 * (low + high);
    (MedianFat(mid) < fat_pct ? low : high) = mid;
  }
  return 0.5 * (low + high);
}

ImfEstimate EstimateImf(const SplitNormal& area_pct, bool is_longissimus) {
  constexpr int kAreas = 41;
  constexpr int kResiduals = 41;
  const double factor = is_longissimus ? 1.0 : kOtherMuscleFactor;
  const double line_sd = factor * std::hypot(kLineResidual, kMethodSd);
  std::vector<Weighted> draws;
  double line_share = 0.0;
  ImfEstimate estimate;
  for (const double area : area_pct.Points(kAreas)) {
    const double w = LineWeight(area);
    line_share += w / kAreas;
    const double line = FatFromAreaLine(area);
    const double balance = FatFromAreaBalance(area);
    const double log_sd = factor * std::hypot(kBalanceLogSd, kMethodSd / (balance + 1.0));
    for (int i = 0; i < kResiduals; ++i) {
      const double z = NormalQuantile((i + 0.5) / kResiduals);
      // A share lies in 0..100; draws outside are impossible and drop out.
      const double from_line = line + line_sd * z;
      const double from_balance = balance * std::exp(log_sd * z);
      if (w > 0.0 && from_line > 0.0 && from_line < 100.0) draws.push_back({from_line, w});
      if (w < 1.0 && from_balance < 100.0) draws.push_back({from_balance, 1.0 - w});
    }
  }
  const double low = WeightedQuantile(draws, 0.05);
  const double median = WeightedQuantile(draws, 0.5);
  const double high = WeightedQuantile(draws, 0.95);
  estimate.line_out_of_range =
      area_pct.Quantile(0.05) < kLineLowestArea || area_pct.Quantile(0.95) > kLineHighestArea;
  estimate.used = line_share < 0.005   ? "mass balance of visible fat"
                  : line_share > 0.995 ? "line of Kuchida et al. 2000"
                                       : "line of Kuchida et al. 2000 joined with a mass balance";
  estimate.imf_pct =
      Measured::Of(median, low, high, "% of wet weight",
                   "from visible fat by area: " + estimate.used +
                       "; spread of the line, the assumed tissue make-up and extraction methods");
  return estimate;
}

}  // namespace ribwright::grade
