// SPDX-License-Identifier: Apache-2.0
#include "grade/us_yield.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <utility>
#include <vector>

#include "grade/doubt.h"
#include "grade/quantities_file.h"
#include "math/rng.h"

namespace ribwright::grade {
namespace {

constexpr double kAreaCutSd = 0.05;
constexpr double kAreaOffRibSd = 0.15;
constexpr double kFaceFatSdMm = 2.0;
constexpr double kKphMean = 2.5;
constexpr double kKphSd = 0.7;
constexpr double kZ90 = 1.6448536269514722;
constexpr int kDraws = 4000;
constexpr std::uint64_t kSeed = 20;

std::optional<SplitNormal> Exact(double value) {
  return SplitNormal::From(Measured::Exact(value, "1"));
}

}  // namespace

double YieldGrade(const YieldInputs& in) {
  return 2.50 + 2.50 * in.fat_in + 0.20 * in.kph_pct + 0.0038 * in.hcw_lb - 0.32 * in.rea_in2;
}

int YieldClass(double yield_grade) {
  if (yield_grade < 2.0) return 1;
  if (yield_grade >= 5.0) return 5;
  return static_cast<int>(yield_grade);
}

double PreliminaryYieldGrade(double fat_in) { return 2.0 + 2.5 * fat_in; }

double ShortCutYieldGrade(const YieldInputs& in) {
  return PreliminaryYieldGrade(in.fat_in) + 0.0038 * (in.hcw_lb - 600.0) -
         0.32 * (in.rea_in2 - 11.0) + 0.20 * (in.kph_pct - 3.5);
}

double RetailCutsPct(const YieldInputs& in) {
  return 51.34 - 5.784 * in.fat_in - 0.0093 * in.hcw_lb - 0.462 * in.kph_pct + 0.740 * in.rea_in2;
}

int ClassFromRetailCuts(double pct) {
  constexpr std::array kFloors = {52.3, 50.0, 47.7, 45.4};
  int yield_class = 1;
  for (const double floor : kFloors) {
    if (pct > floor) return yield_class;
    ++yield_class;
  }
  return yield_class;
}

report::Odds YieldOdds(const Carcass& carcass, const Measured& face_ribeye_cm2,
                       const Measured& face_fat_mm, double chance_at_grading_rib) {
  report::Odds unknown;
  if (!carcass.hot_carcass_weight_kg) {
    unknown.basis = "the carcass data lack hot_carcass_weight";
    return unknown;
  }
  std::string from;
  std::optional<SplitNormal> area;
  if (carcass.ribeye_area_cm2) {
    area = Exact(*carcass.ribeye_area_cm2);
    from += "ribeye area stated";
  } else if ((area = SplitNormal::From(face_ribeye_cm2, 1.0, 400.0))) {
    const double off = kAreaOffRibSd * (1.0 - chance_at_grading_rib);
    area = area->Widened(area->value() * std::hypot(kAreaCutSd, off));
    from += "ribeye area from the face";
  } else {
    unknown.basis = "no ribeye_area in the carcass data and no scale in the photo";
    return unknown;
  }
  std::optional<SplitNormal> fat;
  if (carcass.fat_depth_mm) {
    fat = Exact(*carcass.fat_depth_mm);
    from += ", fat depth stated";
  } else if ((fat = SplitNormal::From(face_fat_mm, 0.0, 200.0))) {
    fat = fat->Widened(kFaceFatSdMm);
    from += ", fat depth from the face's cover";
  } else {
    unknown.basis = "no fat_depth in the carcass data and no cover measured in mm";
    return unknown;
  }
  const auto kph = carcass.kidney_pelvic_heart_fat_pct
                       ? Exact(*carcass.kidney_pelvic_heart_fat_pct)
                       : SplitNormal::From(Measured::Of(kKphMean, kKphMean - kZ90 * kKphSd,
                                                        kKphMean + kZ90 * kKphSd, "%", "assumed"),
                                           0.0, 15.0);
  from += carcass.kidney_pelvic_heart_fat_pct ? ", KPH stated" : ", KPH 2.5 +/- 0.7 % assumed";

  math::Rng rng(kSeed);
  std::array<double, 5> counts{};
  std::vector<Weighted> grades;
  std::vector<Weighted> cuts;
  const auto draw = [&rng](const SplitNormal& s) { return s.Quantile(1.0 - rng.Uniform()); };
  for (int i = 0; i < kDraws; ++i) {
    YieldInputs in;
    in.hcw_lb = *carcass.hot_carcass_weight_kg / kKgPerPound;
    in.rea_in2 = draw(*area) / kCm2PerSquareInch;
    in.fat_in = draw(*fat) / kMmPerInch;
    in.kph_pct = draw(*kph);
    const double grade = YieldGrade(in);
    counts[static_cast<std::size_t>(YieldClass(grade) - 1)] += 1.0;
    grades.push_back({grade, 1.0});
    cuts.push_back({RetailCutsPct(in), 1.0});
  }
  std::vector<std::pair<std::string, double>> weights;
  for (std::size_t i = 0; i < counts.size(); ++i) {
    weights.emplace_back(std::to_string(i + 1), counts[i]);
  }
  const double low = WeightedQuantile(grades, 0.05);
  const double mid = WeightedQuantile(grades, 0.5);
  const double high = WeightedQuantile(grades, 0.95);
  return OddsFromWeights(
      weights,
      fmt::format("yield grade {:.1f} ({:.1f} to {:.1f}), boneless closely trimmed retail cuts "
                  "{:.1f} % of carcass (coefficients: memory); {}; equation of 7 CFR 54.105",
                  mid, low, high, WeightedQuantile(cuts, 0.5), from));
}

}  // namespace ribwright::grade
