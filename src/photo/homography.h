// SPDX-License-Identifier: Apache-2.0
// Homography: how one plane lies in a photo.
//
// to ~ H from, both in homogeneous coordinates. DirectHomography is the normalised direct linear
// transform (Hartley & Zisserman 2004, algorithm 4.2: centroid at 0, mean distance sqrt 2).
// FitHomography refines it by Levenberg-Marquardt on the distance in `to` (the maximum likelihood
// answer for equal, independent noise there), with Huber's weight at `huber` so that a single bad
// point does little. Parameters: the eight free entries of H between normalised coordinates, row by
// row, the ninth being 1; their covariance is scaled by the residuals. At least four points, no
// three on a line among four (else nullopt). Sizes: tens of points; about 0.3 ms.
#pragma once

#include <Eigen/Core>
#include <opencv2/core/matx.hpp>
#include <opencv2/core/types.hpp>
#include <optional>
#include <span>

namespace ribwright::photo {

using Vector8 = Eigen::Matrix<double, 8, 1>;
using Matrix8 = Eigen::Matrix<double, 8, 8>;

struct Homography {
  cv::Matx33d from_norm = cv::Matx33d::eye();        // `from` to normalised coordinates
  cv::Matx33d to_norm_inverse = cv::Matx33d::eye();  // normalised coordinates to `to`
  Vector8 parameters = Vector8::Zero();
  Matrix8 covariance = Matrix8::Zero();
  double residual = 0.0;  // standard deviation of one coordinate in `to`

  cv::Matx33d MatrixAt(const Vector8& at) const;
  cv::Matx33d Matrix() const { return MatrixAt(parameters); }
};

inline cv::Point2d Transform(const cv::Matx33d& h, const cv::Point2d& p) {
  const cv::Vec3d v = h * cv::Vec3d(p.x, p.y, 1.0);
  return {v[0] / v[2], v[1] / v[2]};
}

std::optional<cv::Matx33d> DirectHomography(std::span<const cv::Point2d> from,
                                            std::span<const cv::Point2d> to);

// `floor` is the least noise of one coordinate that is believed, whatever the residuals say.
std::optional<Homography> FitHomography(std::span<const cv::Point2d> from,
                                        std::span<const cv::Point2d> to, double huber,
                                        double floor);

}  // namespace ribwright::photo
