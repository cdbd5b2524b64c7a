// SPDX-License-Identifier: Apache-2.0
// Our own geometry and counting against scikit-image and SciPy, which do the same by other code.
// Skipped where they are not installed (bench/setup installs them).
#include <fmt/format.h>
#include <gtest/gtest.h>

#include <cmath>
#include <opencv2/imgproc.hpp>
#include <sstream>
#include <vector>

#include "command.h"
#include "math/rng.h"
#include "phantom/truth.h"
#include "photo/homography.h"

namespace ribwright::integration {
namespace {

class Reference : public ::testing::Test {
 protected:
  void SetUp() override {
    if (Run("available").status != 0) {
      GTEST_SKIP() << "python3-skimage or python3-scipy is not installed; bench/setup does it";
    }
  }
  Ran Run(const std::string& arguments) {
    return folder_.Run("/usr/bin/python3 " + Source("tests/integration/reference.py") + " " +
                       arguments);
  }
  std::vector<double> Numbers(const std::string& arguments) {
    const Ran ran = Run(arguments);
    EXPECT_EQ(ran.status, 0) << ran.err;
    std::istringstream text(ran.out);
    std::vector<double> numbers;
    for (double n = 0; text >> n;) numbers.push_back(n);
    return numbers;
  }
  Folder folder_;
};

struct Points {
  std::vector<cv::Point2d> from;
  std::vector<cv::Point2d> to;
  std::string csv;
};

Points Seen(double noise, int count, std::uint64_t seed) {
  const cv::Matx33d h(9.1, -1.3, 420, 0.8, 7.9, 310, 4e-4, -9e-4, 1);
  math::Rng rng(seed);
  Points points;
  for (int i = 0; i < count; ++i) {
    const cv::Point2d p(rng.Uniform(0, 180), rng.Uniform(0, 64));
    const cv::Point2d q =
        photo::Transform(h, p) + cv::Point2d(noise * rng.Normal(), noise * rng.Normal());
    points.from.push_back(p);
    points.to.push_back(q);
    points.csv += fmt::format("{:.12g},{:.12g},{:.12g},{:.12g}\n", p.x, p.y, q.x, q.y);
  }
  return points;
}

double WorstAt(const std::vector<double>& theirs, const cv::Matx33d& ours) {
  const cv::Matx33d h(theirs.data());
  double worst = 0.0;
  for (const cv::Point2d p : {cv::Point2d(0, 0), {180, 0}, {180, 64}, {0, 64}, {90, 32}}) {
    worst = std::max(worst, cv::norm(photo::Transform(h, p) - photo::Transform(ours, p)));
  }
  return worst;
}

TEST_F(Reference, HomographyOfManyExactPointsIsTheSame) {
  const Points points = Seen(0.0, 24, 1);
  folder_.Write("points.csv", points.csv);
  const auto theirs = Numbers("homography points.csv");
  ASSERT_EQ(theirs.size(), 9U);
  const auto ours = photo::DirectHomography(points.from, points.to);
  ASSERT_TRUE(ours);
  EXPECT_LT(WorstAt(theirs, *ours), 1e-5);
}

// Both solve the linear system; they scale the points a little differently, which moves a noisy
// answer by a small part of the noise.
TEST_F(Reference, HomographyOfNoisyPointsAgreesWellWithinTheNoise) {
  for (std::uint64_t seed = 1; seed <= 5; ++seed) {
    const Points points = Seen(0.5, 24, seed);
    folder_.Write("points.csv", points.csv);
    const auto theirs = Numbers("homography points.csv");
    ASSERT_EQ(theirs.size(), 9U);
    const auto ours = photo::DirectHomography(points.from, points.to);
    ASSERT_TRUE(ours);
    EXPECT_LT(WorstAt(theirs, *ours), 0.1) << "seed " << seed;
  }
}

std::string AsText(const cv::Mat& matrix) {
  std::string text;
  for (int y = 0; y < matrix.rows; ++y) {
    for (int x = 0; x < matrix.cols; ++x) text += std::to_string(matrix.at<uchar>(y, x)) + " ";
    text += "\n";
  }
  return text;
}

// Random blobs and lines of fat in an oval muscle.
void DrawFlecks(std::uint64_t seed, cv::Mat& fat, cv::Mat& inside) {
  math::Rng rng(seed);
  fat = cv::Mat(240, 320, CV_8U, cv::Scalar(0));
  inside = cv::Mat(fat.size(), CV_8U, cv::Scalar(0));
  cv::ellipse(inside, {160, 120}, {150, 110}, 12, 0, 360, cv::Scalar(255), cv::FILLED);
  for (int i = 0; i < 60; ++i) {
    const cv::Point a(static_cast<int>(rng.Below(320)), static_cast<int>(rng.Below(240)));
    const cv::Point b =
        a + cv::Point(static_cast<int>(rng.Below(41)) - 20, static_cast<int>(rng.Below(41)) - 20);
    cv::line(fat, a, b, cv::Scalar(60 + static_cast<int>(rng.Below(196))),
             1 + static_cast<int>(rng.Below(9)), cv::LINE_AA);
  }
}

TEST_F(Reference, ConnectedPiecesAndDistancesCountTheSameFlecks) {
  for (std::uint64_t seed = 1; seed <= 4; ++seed) {
    cv::Mat fat, inside;
    DrawFlecks(seed, fat, inside);
    folder_.Write("fat.txt", AsText(fat));
    folder_.Write("inside.txt", AsText(inside));
    const double px_per_mm = 6.0;
    const auto theirs = Numbers(fmt::format("flecks fat.txt inside.txt {}", px_per_mm));
    ASSERT_EQ(theirs.size(), 4U);
    const auto ours = phantom::CountMuscle(fat, inside, px_per_mm);
    EXPECT_EQ(ours.flecks, theirs[0]) << "seed " << seed;
    EXPECT_NEAR(ours.fleck_p50_mm2, theirs[1], 1e-6) << "seed " << seed;
    EXPECT_NEAR(ours.fleck_p90_mm2, theirs[2], 1e-6) << "seed " << seed;
    EXPECT_NEAR(ours.coarseness_pct, theirs[3], 1e-4) << "seed " << seed;
  }
}

}  // namespace
}  // namespace ribwright::integration
