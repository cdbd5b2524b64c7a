// SPDX-License-Identifier: Apache-2.0
// Small dense least squares: minimise |r(x)|^2 over a handful of parameters.
//
// Levenberg-Marquardt with Marquardt's diagonal scaling and central differences for the Jacobian
// (Marquardt 1963; Nocedal & Wright 2006, section 10.3). Meant for up to about 20 parameters of
// similar size (scale them to the order of one) and a few hundred residuals; cost about 2 n_x
// residual calls a step. `inverse_normal` is (J^T J)^-1 at the end: times the residual variance it
// is the covariance of x. It is empty where J^T J is singular. Not converging is a result
// (`converged`), not an error; r must be finite.
#pragma once

#include <Eigen/Core>
#include <functional>
#include <optional>

namespace ribwright::photo {

using ResidualFunction = std::function<Eigen::VectorXd(const Eigen::VectorXd& x)>;

struct LeastSquares {
  Eigen::VectorXd x;
  double sum_of_squares = 0.0;
  std::optional<Eigen::MatrixXd> inverse_normal;
  int steps = 0;
  bool converged = false;
};

Eigen::MatrixXd NumericJacobian(const ResidualFunction& residuals, const Eigen::VectorXd& x);

LeastSquares FitLeastSquares(const ResidualFunction& residuals, const Eigen::VectorXd& start,
                             int max_steps = 60);

}  // namespace ribwright::photo
