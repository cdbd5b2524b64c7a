// SPDX-License-Identifier: Apache-2.0
#include "photo/homography.h"

#include <gtest/gtest.h>

#include <cmath>
#include <opencv2/imgproc.hpp>
#include <vector>

#include "math/rng.h"
#include "photo/least_squares.h"

namespace ribwright::photo {
namespace {

cv::Matx33d RandomView(math::Rng& rng) {
  return {rng.Uniform(5, 15),       rng.Uniform(-4, 4),       rng.Uniform(200, 900),
          rng.Uniform(-4, 4),       rng.Uniform(5, 15),       rng.Uniform(200, 900),
          rng.Uniform(-1e-3, 1e-3), rng.Uniform(-1e-3, 1e-3), 1.0};
}

TEST(Homography, OfFourPointsEqualsOpenCvs) {
  math::Rng rng(11);
  for (int draw = 0; draw < 50; ++draw) {
    const cv::Matx33d truth = RandomView(rng);
    std::vector<cv::Point2d> from;
    std::vector<cv::Point2d> to;
    std::vector<cv::Point2f> from_f;
    std::vector<cv::Point2f> to_f;
    for (const auto& corner : {cv::Point2d(0, 0), {180, 0}, {180, 64}, {0, 64}}) {
      const cv::Point2d p = corner + cv::Point2d(rng.Uniform(-9, 9), rng.Uniform(-9, 9));
      from_f.emplace_back(p);
      to_f.emplace_back(Transform(truth, p));
      from.emplace_back(from_f.back());  // as OpenCV sees them: single precision
      to.emplace_back(to_f.back());
    }
    const cv::Mat reference_mat = cv::getPerspectiveTransform(from_f, to_f);
    const cv::Matx33d reference(reference_mat.ptr<double>());
    const auto own = DirectHomography(from, to);
    ASSERT_TRUE(own.has_value());
    for (double x = -20; x <= 200; x += 20) {
      for (double y = -20; y <= 80; y += 20) {
        const cv::Point2d a = Transform(reference, {x, y});
        const cv::Point2d b = Transform(*own, {x, y});
        EXPECT_NEAR(a.x, b.x, 2e-4);
        EXPECT_NEAR(a.y, b.y, 2e-4);
      }
    }
  }
}

// Root mean square error over the card of a fit to n noisy points, over many draws.
double FitError(int n, double noise) {
  double sum = 0.0;
  int count = 0;
  for (int draw = 0; draw < 60; ++draw) {
    math::Rng rng(static_cast<std::uint64_t>(1000 + draw));
    const cv::Matx33d truth = RandomView(rng);
    std::vector<cv::Point2d> from;
    std::vector<cv::Point2d> to;
    for (int i = 0; i < n; ++i) {
      from.emplace_back(rng.Uniform(0, 180), rng.Uniform(0, 64));
      to.push_back(Transform(truth, from.back()) +
                   cv::Point2d(rng.Normal(0, noise), rng.Normal(0, noise)));
    }
    const auto fit = FitHomography(from, to, 10.0 * noise, 1e-9);
    if (!fit) {
      ADD_FAILURE() << "no fit";
      continue;
    }
    for (double x = 10; x <= 170; x += 20) {
      for (double y = 5; y <= 60; y += 11) {
        const cv::Point2d d = Transform(truth, {x, y}) - Transform(fit->Matrix(), {x, y});
        sum += d.dot(d);
        ++count;
      }
    }
  }
  return std::sqrt(sum / count);
}

TEST(Homography, ErrorFallsWithTheRootOfThePointCount) {
  const double few = FitError(25, 0.3);
  const double many = FitError(400, 0.3);
  EXPECT_NEAR(few / many, 4.0, 0.8);
}

TEST(Homography, CovarianceForeseesTheErrorAtACorner) {
  double squared_z = 0.0;
  constexpr int kDraws = 300;
  for (int draw = 0; draw < kDraws; ++draw) {
    math::Rng rng(static_cast<std::uint64_t>(5000 + draw));
    const cv::Matx33d truth = RandomView(rng);
    std::vector<cv::Point2d> from;
    std::vector<cv::Point2d> to;
    for (int i = 0; i < 24; ++i) {
      from.emplace_back(rng.Uniform(0, 180), rng.Uniform(0, 64));
      to.push_back(Transform(truth, from.back()) +
                   cv::Point2d(rng.Normal(0, 0.2), rng.Normal(0, 0.2)));
    }
    const auto fit = FitHomography(from, to, 5.0, 1e-9);
    ASSERT_TRUE(fit.has_value());
    const auto corner_x = [&](const Eigen::VectorXd& p) {
      Eigen::VectorXd v(1);
      v[0] = Transform(fit->MatrixAt(p), {180, 64}).x;
      return v;
    };
    const Eigen::MatrixXd j = NumericJacobian(corner_x, fit->parameters);
    const double sd = std::sqrt((j * fit->covariance * j.transpose())(0, 0));
    const double z = (Transform(fit->Matrix(), {180, 64}).x - Transform(truth, {180, 64}).x) / sd;
    squared_z += z * z;
  }
  EXPECT_NEAR(squared_z / kDraws, 1.0, 0.3);
}

TEST(Homography, OneBadPointDoesLittle) {
  math::Rng rng(3);
  const cv::Matx33d truth = RandomView(rng);
  std::vector<cv::Point2d> from;
  std::vector<cv::Point2d> to;
  for (int i = 0; i < 24; ++i) {
    from.emplace_back(rng.Uniform(0, 180), rng.Uniform(0, 64));
    to.push_back(Transform(truth, from.back()) +
                 cv::Point2d(rng.Normal(0, 0.1), rng.Normal(0, 0.1)));
  }
  to[5] += cv::Point2d(6.0, -4.0);
  const auto fit = FitHomography(from, to, 0.5, 0.01);
  ASSERT_TRUE(fit.has_value());
  const cv::Point2d d = Transform(fit->Matrix(), {90, 32}) - Transform(truth, {90, 32});
  EXPECT_LT(std::hypot(d.x, d.y), 0.25);
}

TEST(Homography, RefusesPointsOnOneLine) {
  std::vector<cv::Point2d> from;
  for (int i = 0; i < 8; ++i) from.emplace_back(i, 2 * i);
  EXPECT_FALSE(DirectHomography(from, from).has_value());
  EXPECT_FALSE(FitHomography(from, from, 1.0, 0.1).has_value());
}

TEST(LeastSquares, FindsTheMinimumOfRosenbrocksValley) {
  const auto fit = FitLeastSquares(
      [](const Eigen::VectorXd& x) {
        Eigen::VectorXd r(2);
        r << 10.0 * (x[1] - x[0] * x[0]), 1.0 - x[0];
        return r;
      },
      Eigen::Vector2d(-1.2, 1.0), 200);
  EXPECT_TRUE(fit.converged);
  EXPECT_NEAR(fit.x[0], 1.0, 1e-6);
  EXPECT_NEAR(fit.x[1], 1.0, 1e-6);
}

}  // namespace
}  // namespace ribwright::photo
