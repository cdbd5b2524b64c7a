// SPDX-License-Identifier: Apache-2.0
#include "spread_fit.h"

#include <Eigen/Cholesky>
#include <algorithm>
#include <cmath>
#include <vector>

namespace ribwright::bench {
namespace {

constexpr double kTiny = 1e-9;  // an exact reading would pull the scale to nothing

double Objective(std::span<const SpreadCase> cases, const Eigen::VectorXd& b, double ridge) {
  double sum = 0.0;
  for (const SpreadCase& c : cases) {
    const double eta = b.dot(c.causes);
    sum += c.weight * (eta + (std::abs(c.value - c.truth) + kTiny) * std::exp(-eta));
  }
  return sum + 0.5 * ridge * (b.squaredNorm() - b[0] * b[0]);
}

// Smallest value at which the weights up to it reach the share q.
double WeightedQuantile(std::vector<std::pair<double, double>> values, double q) {
  std::sort(values.begin(), values.end());
  double total = 0.0;
  for (const auto& [value, weight] : values) total += weight;
  double sum = 0.0;
  for (const auto& [value, weight] : values) {
    sum += weight;
    if (sum >= q * total) return value;
  }
  return values.back().first;
}

}  // namespace

double SpreadFit::Scale(const Eigen::VectorXd& causes) const { return std::exp(b.dot(causes)); }

std::optional<SpreadFit> FitSpread(std::span<const SpreadCase> cases, double ridge) {
  if (cases.size() < kFewestSpreadCases) return std::nullopt;
  const Eigen::Index n = cases.front().causes.size();
  double mean = 0.0;
  double weights = 0.0;
  for (const SpreadCase& c : cases) {
    mean += c.weight * std::abs(c.value - c.truth);
    weights += c.weight;
  }
  SpreadFit fit;
  fit.b = Eigen::VectorXd::Zero(n);
  fit.b[0] = std::log(mean / weights + kTiny);
  double now = Objective(cases, fit.b, ridge);
  for (int round = 0; round < 60; ++round) {
    Eigen::VectorXd gradient = ridge * fit.b;
    Eigen::MatrixXd hessian = ridge * Eigen::MatrixXd::Identity(n, n);
    gradient[0] = 0.0;
    hessian(0, 0) = 1e-9;
    for (const SpreadCase& c : cases) {
      const double ratio = (std::abs(c.value - c.truth) + kTiny) * std::exp(-fit.b.dot(c.causes));
      gradient += c.weight * (1.0 - ratio) * c.causes;
      hessian += c.weight * ratio * c.causes * c.causes.transpose();
    }
    const Eigen::VectorXd step = hessian.ldlt().solve(gradient);
    double length = 1.0;
    double next = now;
    Eigen::VectorXd at = fit.b;
    for (int half = 0; half < 40; ++half, length *= 0.5) {
      at = fit.b - length * step;
      next = Objective(cases, at, ridge);
      if (next < now) break;
    }
    if (!(next < now - 1e-10 * std::abs(now))) break;
    fit.b = at;
    now = next;
  }
  std::vector<std::pair<double, double>> scaled;
  for (const SpreadCase& c : cases) {
    scaled.emplace_back((c.value - c.truth) / fit.Scale(c.causes), c.weight);
  }
  // The value itself lies in its interval, whatever the bias.
  fit.below = std::min(0.0, WeightedQuantile(scaled, 0.05));
  fit.above = std::max(0.0, WeightedQuantile(scaled, 0.95));
  return fit;
}

Held Holds(const SpreadFit& fit, std::span<const SpreadCase> cases) {
  Held held;
  double width = 0.0;
  double error = 0.0;
  for (const SpreadCase& c : cases) {
    ++held.n;
    if (fit.Low(c) <= c.truth && c.truth <= fit.High(c)) held.covered_pct += 100.0;
    width += fit.High(c) - fit.Low(c);
    error += std::abs(c.value - c.truth);
  }
  if (held.n == 0) return held;
  held.covered_pct /= held.n;
  held.width_over_error = width / std::max(error, kTiny);
  return held;
}

}  // namespace ribwright::bench
