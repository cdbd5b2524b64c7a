// SPDX-License-Identifier: Apache-2.0
// SplitNormal: the distribution that a Measured number stands for inside this folder.
//
// Half of the probability lies on each side of the value; each side is half a normal curve whose
// width makes the interval exact: P(x < low) = P(x > high) = (1 - level) / 2. So an uneven interval
// keeps its shape, and an exact number (low = value = high) is a single point. Physical bounds
// (a share lies in 0..100) cut the curve off and the rest is scaled to 1: nothing piles up on the
// bound. From() gives nothing where the number is unknown, not finite, or outside the bounds; the
// caller then says so instead of computing. Our own choice of shape (assumed); its quantiles at the
// interval's ends are exact by construction. Thread-safe: plain data.
#pragma once

#include <limits>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "report/photo_report.h"
#include "units/measured.h"

namespace ribwright::grade {

double NormalCdf(double z);
// 0 < p < 1.
double NormalQuantile(double p);

class SplitNormal {
 public:
  static std::optional<SplitNormal> From(const Measured& measured,
                                         double lowest = -std::numeric_limits<double>::infinity(),
                                         double highest = std::numeric_limits<double>::infinity());

  // The same with a further independent standard deviation added on both sides.
  SplitNormal Widened(double extra_sd) const;

  double Cdf(double x) const;
  // 0 < p < 1.
  double Quantile(double p) const;
  // The n midpoints of n equally probable parts, ascending: means over them integrate.
  std::vector<double> Points(int n) const;
  double value() const { return value_; }
  double sd_below() const { return sd_below_; }
  double sd_above() const { return sd_above_; }

 private:
  double RawCdf(double x) const;

  double value_ = 0.0;
  double sd_below_ = 0.0;
  double sd_above_ = 0.0;
  double lowest_ = 0.0;
  double highest_ = 0.0;
};

struct Weighted {
  double value = 0.0;
  double weight = 0.0;
};
// Quantile of weighted values (weights >= 0, not all 0), interpolated between their mid-ranks.
// Sorts `draws`.
double WeightedQuantile(std::vector<Weighted>& draws, double p);

// The key of a step's name in reports: "Slightly Abundant" is "slightly_abundant".
std::string OddsKey(std::string_view name);

// Odds from weights in the scale's order: scaled to sum to 1, entries of weight 0 left out,
// most_likely the first of the largest. Empty (unknown) where no weight is positive and finite.
report::Odds OddsFromWeights(const std::vector<std::pair<std::string, double>>& weights,
                             std::string basis);

}  // namespace ribwright::grade
