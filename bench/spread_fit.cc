// SPDX-License-Identifier: Apache-2.0
#include "spread_fit.h"

#include <Eigen/Cholesky>
#include <algorithm>
#include <cmath>
#include <map>
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

// b of the header.
Eigen::VectorXd FitScale(std::span<const SpreadCase> cases, double ridge) {
  const Eigen::Index n = cases.front().causes.size();
  double mean = 0.0;
  double weights = 0.0;
  for (const SpreadCase& c : cases) {
    mean += c.weight * std::abs(c.value - c.truth);
    weights += c.weight;
  }
  Eigen::VectorXd b = Eigen::VectorXd::Zero(n);
  b[0] = std::log(mean / weights + kTiny);
  double now = Objective(cases, b, ridge);
  for (int round = 0; round < 60; ++round) {
    Eigen::VectorXd gradient = ridge * b;
    Eigen::MatrixXd hessian = ridge * Eigen::MatrixXd::Identity(n, n);
    gradient[0] = 0.0;
    hessian(0, 0) = 1e-9;
    for (const SpreadCase& c : cases) {
      const double ratio = (std::abs(c.value - c.truth) + kTiny) * std::exp(-b.dot(c.causes));
      gradient += c.weight * (1.0 - ratio) * c.causes;
      hessian += c.weight * ratio * c.causes * c.causes.transpose();
    }
    const Eigen::VectorXd step = hessian.ldlt().solve(gradient);
    double length = 1.0;
    double next = now;
    Eigen::VectorXd at = b;
    for (int half = 0; half < 40; ++half, length *= 0.5) {
      at = b - length * step;
      next = Objective(cases, at, ridge);
      if (next < now) break;
    }
    if (!(next < now - 1e-10 * std::abs(now))) break;
    b = at;
    now = next;
  }
  return b;
}

// The median error in scales, where taking off that of the other folds lowers the mean error of
// each fold by a twentieth in all; else 0.
double MiddleWorthwhile(std::span<const SpreadCase> cases, const std::map<int, SpreadFit>& unseen,
                        const std::vector<std::pair<double, double>>& scaled) {
  double plain = 0.0;
  double moved = 0.0;
  for (const auto& [fold, fit] : unseen) {
    std::vector<std::pair<double, double>> outside;
    for (std::size_t i = 0; i < cases.size(); ++i) {
      if (cases[i].fold != fold) outside.push_back(scaled[i]);
    }
    if (outside.empty()) return 0.0;
    const double middle = WeightedQuantile(outside, 0.5);
    for (const SpreadCase& c : cases) {
      if (c.fold != fold) continue;
      plain += c.weight * std::abs(c.value - c.truth);
      moved += c.weight * std::abs(c.value - middle * fit.Scale(c.causes) - c.truth);
    }
  }
  return moved < 0.95 * plain ? WeightedQuantile(scaled, 0.5) : 0.0;
}

}  // namespace

double SpreadFit::Scale(const Eigen::VectorXd& causes) const { return std::exp(b.dot(causes)); }

std::optional<SpreadFit> FitSpread(std::span<const SpreadCase> cases, double ridge, bool may_move) {
  if (cases.size() < kFewestSpreadCases) return std::nullopt;
  SpreadFit fit;
  fit.b = FitScale(cases, ridge);
  std::map<int, std::vector<SpreadCase>> others;  // by fold: the cases outside it
  for (const SpreadCase& c : cases) others[c.fold];
  for (auto& [fold, outside] : others) {
    for (const SpreadCase& c : cases) {
      if (c.fold != fold) outside.push_back(c);
    }
  }
  std::map<int, SpreadFit> unseen;
  for (const auto& [fold, outside] : others) {
    unseen[fold].b = outside.size() < kFewestSpreadCases ? fit.b : FitScale(outside, ridge);
  }
  std::vector<std::pair<double, double>> scaled;
  for (const SpreadCase& c : cases) {
    scaled.emplace_back((c.value - c.truth) / unseen[c.fold].Scale(c.causes), c.weight);
  }
  fit.below = WeightedQuantile(scaled, 0.05);
  fit.above = WeightedQuantile(scaled, 0.95);
  fit.middle = may_move ? MiddleWorthwhile(cases, unseen, scaled) : 0.0;
  if (fit.middle == 0.0) {
    // The value itself lies in its interval, whatever the bias.
    fit.below = std::min(0.0, fit.below);
    fit.above = std::max(0.0, fit.above);
  }
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
    error += std::abs(fit.Value(c) - c.truth);
  }
  if (held.n == 0) return held;
  held.covered_pct /= held.n;
  held.width_over_error = width / std::max(error, kTiny);
  return held;
}

}  // namespace ribwright::bench
