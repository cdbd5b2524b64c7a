// SPDX-License-Identifier: Apache-2.0
#include "photo/least_squares.h"

#include <Eigen/Cholesky>
#include <algorithm>
#include <cmath>

namespace ribwright::photo {

Eigen::MatrixXd NumericJacobian(const ResidualFunction& residuals, const Eigen::VectorXd& x) {
  Eigen::MatrixXd jacobian;
  for (Eigen::Index j = 0; j < x.size(); ++j) {
    // The cube root of the rounding unit balances truncation and rounding of a central difference.
    const double step = 6e-6 * std::max(1.0, std::abs(x[j]));
    Eigen::VectorXd plus = x;
    Eigen::VectorXd minus = x;
    plus[j] += step;
    minus[j] -= step;
    const Eigen::VectorXd column = (residuals(plus) - residuals(minus)) / (2.0 * step);
    if (j == 0) jacobian.resize(column.size(), x.size());
    jacobian.col(j) = column;
  }
  return jacobian;
}

LeastSquares FitLeastSquares(const ResidualFunction& residuals, const Eigen::VectorXd& start,
                             int max_steps) {
  LeastSquares fit;
  fit.x = start;
  Eigen::VectorXd r = residuals(fit.x);
  fit.sum_of_squares = r.squaredNorm();
  double damping = 1e-3;
  Eigen::MatrixXd normal;
  for (fit.steps = 0; fit.steps < max_steps && !fit.converged; ++fit.steps) {
    const Eigen::MatrixXd jacobian = NumericJacobian(residuals, fit.x);
    normal = jacobian.transpose() * jacobian;
    const Eigen::VectorXd gradient = jacobian.transpose() * r;
    bool better = false;
    while (!better && damping < 1e12) {
      Eigen::MatrixXd damped = normal;
      damped.diagonal() += damping * (normal.diagonal().array() + 1e-12).matrix();
      const Eigen::VectorXd step = damped.ldlt().solve(-gradient);
      const Eigen::VectorXd tried = fit.x + step;
      const Eigen::VectorXd tried_r = residuals(tried);
      const double sum = tried_r.squaredNorm();
      if (std::isfinite(sum) && sum <= fit.sum_of_squares) {
        fit.converged = fit.sum_of_squares - sum <= 1e-12 * fit.sum_of_squares + 1e-24;
        fit.x = tried;
        r = tried_r;
        fit.sum_of_squares = sum;
        damping = std::max(1e-12, damping / 10.0);
        better = true;
      } else {
        damping *= 10.0;
      }
    }
    if (!better) fit.converged = true;  // no downhill step is left at this precision
  }
  const Eigen::MatrixXd jacobian = NumericJacobian(residuals, fit.x);
  normal = jacobian.transpose() * jacobian;
  const Eigen::LDLT<Eigen::MatrixXd> factor(normal);
  if (factor.info() == Eigen::Success && factor.vectorD().minCoeff() > 0.0 &&
      factor.rcond() > 1e-14) {
    fit.inverse_normal = factor.solve(Eigen::MatrixXd::Identity(normal.rows(), normal.cols()));
  }
  return fit;
}

}  // namespace ribwright::photo
