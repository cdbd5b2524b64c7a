// SPDX-License-Identifier: Apache-2.0
#include "photo/light_plane.h"

#include <Eigen/Cholesky>
#include <Eigen/Core>
#include <algorithm>
#include <cmath>

#include "base/check.h"

namespace ribwright::photo {
namespace {

constexpr double kLeastSd = 0.005;
constexpr double kTukey = 4.685;

cv::Vec3d Terms(const LightPlane& plane, double x, double y) {
  return {1.0, (x - plane.centre_x) / plane.length, (y - plane.centre_y) / plane.length};
}

}  // namespace

double LightPlane::LogAt(double x, double y) const { return coefficients.dot(Terms(*this, x, y)); }

double LightPlane::VarianceAt(double x, double y) const {
  const cv::Vec3d t = Terms(*this, x, y);
  return t.dot(covariance * t);
}

std::optional<LightPlane> FitLightPlane(std::span<const LightReading> readings) {
  if (readings.size() < 6) return std::nullopt;
  const double n = static_cast<double>(readings.size());
  LightPlane plane;
  for (const LightReading& r : readings) {
    RIBWRIGHT_CHECK(r.relative > 0.0);
    plane.centre_x += r.x_px / n;
    plane.centre_y += r.y_px / n;
  }
  for (const LightReading& r : readings) {
    plane.length =
        std::max(plane.length, std::hypot(r.x_px - plane.centre_x, r.y_px - plane.centre_y));
  }
  plane.weights.assign(readings.size(), 1.0);
  std::vector<double> residuals(readings.size());
  for (int round = 0; round < 12; ++round) {
    Eigen::Matrix3d normal = Eigen::Matrix3d::Zero();
    Eigen::Vector3d right = Eigen::Vector3d::Zero();
    double weight = 0.0;
    for (std::size_t i = 0; i < readings.size(); ++i) {
      const cv::Vec3d terms = Terms(plane, readings[i].x_px, readings[i].y_px);
      const Eigen::Vector3d t(terms[0], terms[1], terms[2]);
      normal += plane.weights[i] * t * t.transpose();
      right += plane.weights[i] * std::log(readings[i].relative) * t;
      weight += plane.weights[i];
    }
    const Eigen::LDLT<Eigen::Matrix3d> factor(normal);
    if (weight < 4.0 || factor.info() != Eigen::Success || factor.rcond() < 1e-6) {
      return std::nullopt;
    }
    const Eigen::Vector3d c = factor.solve(right);
    plane.coefficients = {c[0], c[1], c[2]};
    std::vector<double> sizes(readings.size());
    double squares = 0.0;
    for (std::size_t i = 0; i < readings.size(); ++i) {
      residuals[i] =
          std::log(readings[i].relative) - plane.LogAt(readings[i].x_px, readings[i].y_px);
      sizes[i] = std::abs(residuals[i]);
      squares += plane.weights[i] * residuals[i] * residuals[i];
    }
    plane.residual_sd = std::sqrt(squares / std::max(1.0, weight - 3.0));
    const double variance = std::max(kLeastSd * kLeastSd, plane.residual_sd * plane.residual_sd);
    const Eigen::Matrix3d inverse = factor.solve(Eigen::Matrix3d::Identity());
    for (int i = 0; i < 3; ++i) {
      for (int j = 0; j < 3; ++j) plane.covariance(i, j) = inverse(i, j) * variance;
    }
    std::nth_element(sizes.begin(), sizes.begin() + static_cast<long>(sizes.size() / 2),
                     sizes.end());
    // The median of |normal| is 0.6745 standard deviations.
    const double robust = std::max(kLeastSd, sizes[sizes.size() / 2] / 0.6745);
    for (std::size_t i = 0; i < readings.size(); ++i) {
      const double z = residuals[i] / (kTukey * robust);
      const double keep = 1.0 - z * z;
      plane.weights[i] = keep > 0.0 ? keep * keep : 0.0;
    }
  }
  return plane;
}

}  // namespace ribwright::photo
