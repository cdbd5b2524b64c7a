// SPDX-License-Identifier: Apache-2.0
#include "grade/us_marbling.h"

#include <cmath>

#include "base/check.h"

namespace ribwright::grade {
namespace {

constexpr std::array<std::string_view, kDegrees> kTexts = {
    "Practically Devoid",  "Traces",   "Slight", "Small", "Modest", "Moderate", "Slightly Abundant",
    "Moderately Abundant", "Abundant",
};

// Beef Improvement Federation Guidelines, page Marbling score (after 7 Feb 2022); read.
constexpr std::array<double, kDegrees> kBif = {0.0, 2.76, 3.83, 5.04, 6.72, 7.25, 10.13, 0.0, 0.0};
// Savell, Cross & Smith 1986, J Food Sci 51(3):838-840; memory.
constexpr std::array<double, kDegrees> kSavell = {1.77, 2.48, 3.43,  4.99, 5.97,
                                                  7.34, 8.56, 10.42, 0.0};
constexpr double kMemoryWeight = 0.5;  // assumed
constexpr double kReadWeight = 1.0;

std::size_t Index(Degree degree) { return static_cast<std::size_t>(degree); }

std::array<double, kDegrees> MidDegreeFat() {
  std::array<double, kDegrees> fat{};
  for (int i = 0; i < kDegrees; ++i) {
    const auto degree = static_cast<Degree>(i);
    double sum = 0.0;
    double weight = 0.0;
    const auto add = [&](double value, double w) {
      sum += w * value;
      weight += w;
    };
    if (const auto v = BifFat(degree)) add(*v, kReadWeight);
    if (const auto v = SavellFat(degree)) add(*v, kMemoryWeight);
    if (degree >= Degree::kSlight) {
      add(FatFromScoreLine(ScoreOf(degree, 50.0), FatMethod::kEther), kReadWeight);
    }
    fat[Index(degree)] = sum / weight;
  }
  return fat;
}

}  // namespace

std::string_view DegreeText(Degree degree) { return kTexts[Index(degree)]; }

std::optional<Degree> DegreeFromText(std::string_view text) {
  for (int i = 0; i < kDegrees; ++i) {
    const auto degree = static_cast<Degree>(i);
    if (DegreeText(degree) == text) return degree;
  }
  return std::nullopt;
}

Degree DegreeFromScore(double score) {
  RIBWRIGHT_CHECK(score >= kLowestScore && score < kScoreEnd);
  return static_cast<Degree>(static_cast<int>(score / 100.0) - 1);
}

double SubUnits(double score) { return score - ScoreOf(DegreeFromScore(score), 0.0); }

double ScoreOf(Degree degree, double units) {
  return 100.0 * (static_cast<double>(degree) + 1.0) + units;
}

double NumericCoding(double score) { return score / 100.0; }

double ScoreFromOlderCoding(double older_coding) { return 100.0 * (older_coding - 1.0); }

std::optional<double> BifFat(Degree degree) {
  const double v = kBif[Index(degree)];
  return v > 0.0 ? std::optional<double>(v) : std::nullopt;
}

std::optional<double> SavellFat(Degree degree) {
  const double v = kSavell[Index(degree)];
  return v > 0.0 ? std::optional<double>(v) : std::nullopt;
}

double FatFromScoreLine(double score, FatMethod method) {
  // Dow, Wiegand, Ellersieck & Lorenzen 2011, J Anim Sci 89:1173-1179 (abstract); read.
  switch (method) {
    case FatMethod::kFolch:
      return -3.42 + 0.019 * score;
    case FatMethod::kNmr:
      return -3.46 + 0.016 * score;
    case FatMethod::kEther:
      break;
  }
  return -3.08 + 0.017 * score;
}

double FatFromScore(double score) {
  RIBWRIGHT_CHECK(score >= kLowestScore && score < kScoreEnd);
  static const std::array<double, kDegrees> fat = MidDegreeFat();
  // The first and last pieces run on to the scale's ends.
  int i = static_cast<int>(std::floor((score - 150.0) / 100.0));
  i = i < 0 ? 0 : (i > kDegrees - 2 ? kDegrees - 2 : i);
  const auto k = static_cast<std::size_t>(i);
  const double share = (score - (150.0 + 100.0 * i)) / 100.0;
  return fat[k] + share * (fat[k + 1] - fat[k]);
}

}  // namespace ribwright::grade
