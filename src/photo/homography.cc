// SPDX-License-Identifier: Apache-2.0
#include "photo/homography.h"

#include <Eigen/Eigenvalues>
#include <algorithm>
#include <cmath>
#include <opencv2/core.hpp>
#include <vector>

#include "base/check.h"
#include "photo/least_squares.h"

namespace ribwright::photo {
namespace {

// Centroid to the origin, mean distance to sqrt 2. A cloud without extent gives a zero scale.
cv::Matx33d Normaliser(std::span<const cv::Point2d> points) {
  cv::Point2d centre(0.0, 0.0);
  for (const auto& p : points) centre += p;
  centre /= static_cast<double>(points.size());
  double distance = 0.0;
  for (const auto& p : points) distance += std::hypot(p.x - centre.x, p.y - centre.y);
  distance /= static_cast<double>(points.size());
  const double s = distance > 0.0 ? std::sqrt(2.0) / distance : 0.0;
  return {s, 0.0, -s * centre.x, 0.0, s, -s * centre.y, 0.0, 0.0, 1.0};
}

struct Normalised {
  cv::Matx33d from_norm;
  cv::Matx33d to_norm;
  std::vector<cv::Point2d> from;
  std::vector<cv::Point2d> to;
};

std::optional<Normalised> Normalise(std::span<const cv::Point2d> from,
                                    std::span<const cv::Point2d> to) {
  RIBWRIGHT_CHECK(from.size() == to.size());
  if (from.size() < 4) return std::nullopt;
  Normalised n{Normaliser(from), Normaliser(to), {}, {}};
  if (n.from_norm(0, 0) == 0.0 || n.to_norm(0, 0) == 0.0) return std::nullopt;
  for (const auto& p : from) n.from.push_back(Transform(n.from_norm, p));
  for (const auto& p : to) n.to.push_back(Transform(n.to_norm, p));
  return n;
}

std::optional<Vector8> DirectParameters(const Normalised& n) {
  Eigen::Matrix<double, 9, 9> normal = Eigen::Matrix<double, 9, 9>::Zero();
  for (std::size_t i = 0; i < n.from.size(); ++i) {
    const auto& [x, y] = n.from[i];
    const auto& [u, v] = n.to[i];
    Eigen::Matrix<double, 9, 1> a;
    a << x, y, 1, 0, 0, 0, -u * x, -u * y, -u;
    Eigen::Matrix<double, 9, 1> b;
    b << 0, 0, 0, x, y, 1, -v * x, -v * y, -v;
    normal += a * a.transpose() + b * b.transpose();
  }
  const Eigen::SelfAdjointEigenSolver<Eigen::Matrix<double, 9, 9>> solver(normal);
  if (solver.info() != Eigen::Success) return std::nullopt;
  // A second vanishing eigenvalue means the points do not fix the plane.
  if (solver.eigenvalues()[1] < 1e-9 * solver.eigenvalues()[8]) return std::nullopt;
  const Eigen::Matrix<double, 9, 1> h = solver.eigenvectors().col(0);
  if (std::abs(h[8]) < 1e-9) return std::nullopt;  // the centroid would lie on the horizon
  return h.head<8>() / h[8];
}

cv::Matx33d FromParameters(const Vector8& p) {
  return {p[0], p[1], p[2], p[3], p[4], p[5], p[6], p[7], 1.0};
}

}  // namespace

cv::Matx33d Homography::MatrixAt(const Vector8& at) const {
  return to_norm_inverse * FromParameters(at) * from_norm;
}

std::optional<cv::Matx33d> DirectHomography(std::span<const cv::Point2d> from,
                                            std::span<const cv::Point2d> to) {
  const auto n = Normalise(from, to);
  if (!n) return std::nullopt;
  const auto p = DirectParameters(*n);
  if (!p) return std::nullopt;
  return n->to_norm.inv() * FromParameters(*p) * n->from_norm;
}

std::optional<Homography> FitHomography(std::span<const cv::Point2d> from,
                                        std::span<const cv::Point2d> to, double huber,
                                        double floor) {
  const auto n = Normalise(from, to);
  if (!n) return std::nullopt;
  const auto start = DirectParameters(*n);
  if (!start) return std::nullopt;
  const double to_scale = n->to_norm(0, 0);
  const double bend = huber * to_scale;
  const auto residuals = [&](const Eigen::VectorXd& x) {
    const cv::Matx33d h = FromParameters(x);
    Eigen::VectorXd r(static_cast<Eigen::Index>(2 * n->from.size()));
    for (std::size_t i = 0; i < n->from.size(); ++i) {
      const cv::Point2d d = Transform(h, n->from[i]) - n->to[i];
      const double length = std::hypot(d.x, d.y);
      // Square root of Huber's loss over the length, so that the squared residual is the loss.
      const double weight = length > bend ? std::sqrt(bend * (2.0 * length - bend)) / length : 1.0;
      r[static_cast<Eigen::Index>(2 * i)] = d.x * weight;
      r[static_cast<Eigen::Index>(2 * i + 1)] = d.y * weight;
    }
    return r;
  };
  const LeastSquares fit = FitLeastSquares(residuals, *start);
  if (!fit.inverse_normal || !fit.x.allFinite()) return std::nullopt;
  Homography h;
  h.from_norm = n->from_norm;
  h.to_norm_inverse = n->to_norm.inv();
  h.parameters = fit.x;
  const double freedom = 2.0 * static_cast<double>(from.size()) - 8.0;
  const double least = floor * to_scale;
  const double variance =
      std::max(least * least, freedom > 0.0 ? fit.sum_of_squares / freedom : 0.0);
  h.covariance = *fit.inverse_normal * variance;
  h.residual = std::sqrt(variance) / to_scale;
  return h;
}

}  // namespace ribwright::photo
