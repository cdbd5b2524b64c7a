// SPDX-License-Identifier: Apache-2.0
#include "grade/japan_odds.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <string>
#include <utility>
#include <vector>

#include "base/check.h"

namespace ribwright::grade {
namespace {

// Nakatake, Tsuiki & Hara, carcasses of January 2007 to March 2012 (conference abstract A-3); read.
constexpr double kMeanArea = 48.88;
constexpr double kSdArea = 7.10;
constexpr double kMeanBms = 6.10;
constexpr double kSdBms = 1.86;
constexpr double kCorrelation = 0.84;
constexpr std::array kLeanEnd = {7.0, 20.0, 33.0};  // BMS 1..3, assumed
constexpr double kDriftSd = 5.5;
constexpr double kOtherSd = 3.4;
constexpr double kOffRibSd = 5.0;
constexpr double kOtherMuscleSd = 4.0;

}  // namespace

double AreaFromBms(int bms) {
  RIBWRIGHT_CHECK(bms >= 1 && bms <= kHighestBms);
  if (bms <= 3) return kLeanEnd[static_cast<std::size_t>(bms - 1)];
  return kMeanArea + kCorrelation * kSdArea / kSdBms * (bms - kMeanBms);
}

double BmsAreaSd(double chance_at_6th_7th_rib, bool is_longissimus) {
  const double residual = kSdArea * std::sqrt(1.0 - kCorrelation * kCorrelation);
  const double off = kOffRibSd * (1.0 - chance_at_6th_7th_rib);
  const double other = is_longissimus ? 0.0 : kOtherMuscleSd;
  return std::sqrt(residual * residual + kDriftSd * kDriftSd + kOtherSd * kOtherSd + off * off +
                   other * other);
}

BmsOdds BmsOddsFromArea(const SplitNormal& area_pct, double sd) {
  RIBWRIGHT_CHECK(sd > 0.0);
  constexpr int kAreas = 41;
  const std::vector<double> areas = area_pct.Points(kAreas);
  double best = -std::numeric_limits<double>::infinity();
  const auto log_density = [&](double area, int bms) {
    const double z = (area - AreaFromBms(bms)) / sd;
    return -0.5 * z * z;
  };
  for (const double area : areas) {
    for (int bms = 1; bms <= kHighestBms; ++bms) best = std::max(best, log_density(area, bms));
  }
  BmsOdds odds{};
  double total = 0.0;
  for (const double area : areas) {
    for (int bms = 1; bms <= kHighestBms; ++bms) {
      const double weight = std::exp(log_density(area, bms) - best);
      odds[static_cast<std::size_t>(bms - 1)] += weight;
      total += weight;
    }
  }
  for (double& p : odds) p /= total;
  return odds;
}

report::Odds BmsReport(const BmsOdds& odds) {
  std::vector<std::pair<std::string, double>> weights;
  for (int bms = 1; bms <= kHighestBms; ++bms) {
    weights.emplace_back(std::to_string(bms), odds[static_cast<std::size_t>(bms - 1)]);
  }
  return OddsFromWeights(
      weights,
      "visible fat by area against 761 published carcasses (BMS 4 and up); BMS 1 "
      "to 3 placed by assumption; widened for the scale's drift and the rib");
}

report::Odds JapaneseGradeOdds(const BmsOdds& odds, const Carcass* carcass) {
  int limit = 5;
  std::string known;
  const auto lower = [&](const std::optional<double>& number, int (*grade_of)(int),
                         std::string_view name) {
    if (!number) return;
    limit = std::min(limit, grade_of(static_cast<int>(*number)));
    known += (known.empty() ? "" : ", ") + std::string(name);
  };
  if (carcass != nullptr) {
    lower(carcass->lean_colour_number, LeanColourGradeFromBcs, "lean colour");
    lower(carcass->fat_colour_number, FatColourGradeFromBfs, "fat colour (ranges: memory)");
    lower(
        carcass->firmness_grade, [](int grade) { return grade; }, "firmness");
  }
  std::array<double, 5> by_grade{};
  for (int bms = 1; bms <= kHighestBms; ++bms) {
    const int grade = std::min(MarblingGradeFromBms(bms), limit);
    by_grade[static_cast<std::size_t>(grade - 1)] += odds[static_cast<std::size_t>(bms - 1)];
  }
  std::vector<std::pair<std::string, double>> weights;
  for (std::size_t i = 0; i < by_grade.size(); ++i) {
    weights.emplace_back(std::to_string(i + 1), by_grade[i]);
  }
  return OddsFromWeights(
      weights, known.empty()
                   ? "marbling item alone; the lowest of four items decides, so the true grade may "
                     "be lower"
                   : "lowest of marbling and, as stated, " + known);
}

report::Odds JapaneseYieldOdds(const Carcass& carcass, const Measured& face_longissimus_cm2,
                               double chance_at_6th_7th_rib) {
  report::Odds unknown;
  const auto missing = [&](std::string_view name) {
    unknown.basis = fmt::format("the carcass data lack {}", name);
    return unknown;
  };
  if (!carcass.left_cold_side_kg) return missing("left_cold_side");
  if (!carcass.rib_thickness_mm) return missing("rib_thickness_6th_rib");
  if (!carcass.subcutaneous_fat_mm) return missing("subcutaneous_fat_6th_rib");
  if (!carcass.beef_breed) return missing("beef_breed");
  std::optional<SplitNormal> area;
  if (carcass.longissimus_area_cm2) {
    area = SplitNormal::From(Measured::Exact(*carcass.longissimus_area_cm2, "cm2"));
  } else {
    area = SplitNormal::From(face_longissimus_cm2, 1.0, 400.0);
    if (!area) return missing("longissimus_area_6th_rib, and the photo has no scale");
    // As for the American ribeye: 5 % for the cut, 15 % off the grading rib (assumed).
    area = area->Widened(area->value() * std::hypot(0.05, 0.15 * (1.0 - chance_at_6th_7th_rib)));
  }
  std::array<double, 3> counts{};
  for (const double cm2 : area->Points(401)) {
    JapaneseYieldInputs in;
    in.longissimus_cm2 = cm2;
    in.rib_thickness_cm = *carcass.rib_thickness_mm / 10.0;
    in.left_cold_side_kg = *carcass.left_cold_side_kg;
    in.subcutaneous_fat_cm = *carcass.subcutaneous_fat_mm / 10.0;
    in.beef_breed = *carcass.beef_breed;
    counts[static_cast<std::size_t>(JapaneseYieldLetter(JapaneseYieldScore(in)) - 'A')] += 1.0;
  }
  return OddsFromWeights({{"A", counts[0]}, {"B", counts[1]}, {"C", counts[2]}},
                         carcass.longissimus_area_cm2
                             ? "carcass data as stated; published yield score"
                             : "carcass data as stated, longissimus area from the face; published "
                               "yield score");
}

}  // namespace ribwright::grade
