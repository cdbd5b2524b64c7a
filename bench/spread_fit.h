// SPDX-License-Identifier: Apache-2.0
// Fits how far a judged number may be off, from cases whose truth is known.
//
// Model: error = value - truth has the scale s = exp(b . x), x the causes that the judge knows
// (x[0] = 1). b minimises sum w (log s + |error| / s) + ridge |b[1..]|^2 / 2: the likelihood of a
// double-exponential error, convex in b, so that Newton's method finds the one minimum. The
// interval is then [value - above * s, value - below * s], where `below` and `above` are the 5th
// and 95th percentile of error / s: it leaves 5 % on each side and takes a bias with it. There s is
// of the fit to the other folds, since a fit looks better on its own cases than it is. Weights
// let every set of the bench count the same. Errors: none; fewer than 20 cases give no fit.
#pragma once

#include <Eigen/Core>
#include <algorithm>
#include <optional>
#include <span>

namespace ribwright::bench {

struct SpreadCase {
  double value = 0.0;
  double truth = 0.0;
  Eigen::VectorXd causes;  // of one length in all cases; the first is 1
  double weight = 1.0;
  int fold = 0;  // for cross-validation: cases of one seed share it
};

struct SpreadFit {
  Eigen::VectorXd b;
  double below = 0.0;
  double above = 0.0;
  double middle = 0.0;  // the bias taken off the value, in scales; 0 where that gains little

  double Scale(const Eigen::VectorXd& causes) const;
  double Value(const SpreadCase& c) const {
    return std::clamp(c.value - middle * Scale(c.causes), Low(c), High(c));
  }
  double Low(const SpreadCase& c) const { return c.value - above * Scale(c.causes); }
  double High(const SpreadCase& c) const { return c.value - below * Scale(c.causes); }
};

inline constexpr std::size_t kFewestSpreadCases = 20;

std::optional<SpreadFit> FitSpread(std::span<const SpreadCase> cases, double ridge,
                                   bool may_move = true);

struct Held {
  double covered_pct = 0.0;
  double width_over_error = 0.0;
  int n = 0;
};
// What `fit` does on the cases that `chosen` picks; n 0 when it picks none.
Held Holds(const SpreadFit& fit, std::span<const SpreadCase> cases);

}  // namespace ribwright::bench
