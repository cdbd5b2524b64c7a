// SPDX-License-Identifier: Apache-2.0
#include "grade/doubt.h"

#include <algorithm>
#include <boost/math/special_functions/erf.hpp>
#include <cmath>

#include "base/check.h"

namespace ribwright::grade {

double NormalCdf(double z) { return 0.5 * std::erfc(-z / std::sqrt(2.0)); }

double NormalQuantile(double p) {
  RIBWRIGHT_CHECK(p > 0.0 && p < 1.0);
  return -std::sqrt(2.0) * boost::math::erfc_inv(2.0 * p);
}

std::optional<SplitNormal> SplitNormal::From(const Measured& measured, double lowest,
                                             double highest) {
  if (!measured.Valid() || !measured.Known()) return std::nullopt;
  const double value = *measured.value;
  if (value < lowest || value > highest) return std::nullopt;
  const double z = NormalQuantile(0.5 * (1.0 + measured.level));
  SplitNormal s;
  s.value_ = value;
  s.sd_below_ = (value - measured.low) / z;
  s.sd_above_ = (measured.high - value) / z;
  s.lowest_ = lowest;
  s.highest_ = highest;
  return s;
}

SplitNormal SplitNormal::Widened(double extra_sd) const {
  SplitNormal s = *this;
  s.sd_below_ = std::hypot(sd_below_, extra_sd);
  s.sd_above_ = std::hypot(sd_above_, extra_sd);
  return s;
}

double SplitNormal::RawCdf(double x) const {
  const double d = x - value_;
  const double sd = d < 0.0 ? sd_below_ : sd_above_;
  if (d == 0.0) return 0.5;
  if (sd == 0.0) return d < 0.0 ? 0.0 : 1.0;
  return NormalCdf(d / sd);
}

double SplitNormal::Cdf(double x) const {
  if (x < lowest_) return 0.0;
  if (x >= highest_) return 1.0;
  if (sd_below_ == 0.0 && sd_above_ == 0.0) return x >= value_ ? 1.0 : 0.0;
  const double from = RawCdf(lowest_);
  const double to = RawCdf(highest_);
  return to > from ? (RawCdf(x) - from) / (to - from) : (x >= value_ ? 1.0 : 0.0);
}

double SplitNormal::Quantile(double p) const {
  const double from = RawCdf(lowest_);
  const double to = RawCdf(highest_);
  const double q = from + p * (to - from);
  if (q <= 0.0 || q >= 1.0 || to <= from) return value_;
  const double z = NormalQuantile(q);
  const double x = value_ + z * (z < 0.0 ? sd_below_ : sd_above_);
  return std::min(std::max(x, lowest_), highest_);  // rounding only: q lies between the bounds' own
}

std::vector<double> SplitNormal::Points(int n) const {
  RIBWRIGHT_CHECK(n > 0);
  std::vector<double> points;
  points.reserve(static_cast<std::size_t>(n));
  for (int i = 0; i < n; ++i) points.push_back(Quantile((i + 0.5) / n));
  return points;
}

double WeightedQuantile(std::vector<Weighted>& draws, double p) {
  RIBWRIGHT_CHECK(!draws.empty());
  std::sort(draws.begin(), draws.end(), [](const Weighted& a, const Weighted& b) {
    return a.value < b.value || (a.value == b.value && a.weight < b.weight);
  });
  double total = 0.0;
  for (const Weighted& d : draws) total += d.weight;
  RIBWRIGHT_CHECK(total > 0.0);
  double before = 0.0;
  double last_rank = 0.0;
  double last_value = draws.front().value;
  for (const Weighted& d : draws) {
    const double rank = (before + 0.5 * d.weight) / total;
    if (rank >= p) {
      if (rank <= last_rank) return d.value;
      return last_value + (d.value - last_value) * (p - last_rank) / (rank - last_rank);
    }
    before += d.weight;
    last_rank = rank;
    last_value = d.value;
  }
  return draws.back().value;
}

std::string OddsKey(std::string_view name) {
  std::string key(name);
  for (char& c : key) {
    if (c == ' ') c = '_';
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
  }
  return key;
}

report::Odds OddsFromWeights(const std::vector<std::pair<std::string, double>>& weights,
                             std::string basis) {
  report::Odds odds;
  odds.basis = std::move(basis);
  double total = 0.0;
  for (const auto& [name, weight] : weights) total += weight;
  if (!(total > 0.0) || !std::isfinite(total)) return odds;
  double best = 0.0;
  for (const auto& [name, weight] : weights) {
    if (weight <= 0.0) continue;
    odds.odds.emplace_back(name, weight / total);
    if (weight > best) {
      best = weight;
      odds.most_likely = name;
    }
  }
  return odds;
}

}  // namespace ribwright::grade
