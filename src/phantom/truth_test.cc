// SPDX-License-Identifier: Apache-2.0
#include "phantom/truth.h"

#include <gtest/gtest.h>

#include <cmath>
#include <opencv2/imgproc.hpp>
#include <vector>

#include "math/rng.h"
#include "phantom/flecks.h"

namespace ribwright::phantom {
namespace {

constexpr double kPi = 3.14159265358979323846;

// A round muscle of radius `inner_mm` in fat out to `outer_mm`, on a grid of its own.
FaceRaster Disc(double inner_mm, double outer_mm, double px_per_mm) {
  FaceRaster face;
  face.px_per_mm = px_per_mm;
  const double half = outer_mm + 2.0;
  const int side = static_cast<int>(2 * half * px_per_mm);
  face.origin_mm = {-half, -half};
  face.label = cv::Mat(side, side, CV_8U, cv::Scalar(kOutside));
  for (int y = 0; y < side; ++y) {
    for (int x = 0; x < side; ++x) {
      const cv::Point2d p = face.MmFromGrid(x + 0.5, y + 0.5);
      const double r = std::hypot(p.x, p.y);
      face.label.at<std::uint8_t>(y, x) = r < inner_mm   ? kFirstMuscle
                                          : r < outer_mm ? kFat
                                                         : kOutside;
    }
  }
  face.fat = face.label == static_cast<int>(kFat);
  face.line = cv::Mat(side, side, CV_8U, cv::Scalar(0));
  RasterMuscle muscle;
  muscle.name = report::MuscleName::kLongissimus;
  muscle.box = cv::boundingRect(cv::Mat(face.label == static_cast<int>(kFirstMuscle)));
  muscle.pixels = cv::countNonZero(face.label == static_cast<int>(kFirstMuscle));
  face.muscles.push_back(muscle);
  return face;
}

cv::Point2d Same(cv::Point2d p) { return p; }

TEST(Truth, DiscInARingAgreesWithClosedForms) {
  const FaceRaster disc = Disc(30, 38, 10);
  const report::Face face = MeasureFace(disc, Same);
  EXPECT_NEAR(*face.area.value, kPi * 38 * 38 / 100, 0.05);
  EXPECT_NEAR(*face.muscles[0].area.value, kPi * 9, 0.03);
  EXPECT_NEAR(*face.fat_share_pct.value, 100.0 * (1 - 900.0 / 1444.0), 0.1);
  EXPECT_EQ(*face.marbling_pct.value, 0.0);
  // The ring is 8 mm thick all round.
  EXPECT_NEAR(*face.cover.mean.value, 8.0, 0.1);
  EXPECT_NEAR(*face.cover.at_three_quarters.value, 8.0, 0.1);
  ASSERT_EQ(face.cover.profile.size(), 21U);
  for (const report::CoverPoint& p : face.cover.profile) EXPECT_NEAR(*p.thickness.value, 8.0, 0.15);
  // The outline, carried by the identity, encloses the same area.
  double twice = 0;
  const report::Ring& ring = face.outline_px[0];
  for (std::size_t i = 0; i < ring.size(); ++i) {
    const report::Point& a = ring[i];
    const report::Point& b = ring[(i + 1) % ring.size()];
    twice += a.x * b.y - a.y * b.x;
  }
  EXPECT_NEAR(std::abs(twice) / 200.0, kPi * 38 * 38 / 100, 0.1);
}

TEST(Truth, BareMuscleIsNoCoveredEdge) {
  const FaceRaster bare = Disc(30, 30.2, 10);
  const report::Face face = MeasureFace(bare, Same);
  EXPECT_FALSE(face.cover.mean.Known());
  ASSERT_TRUE(face.cover.at_three_quarters.Known());
  EXPECT_EQ(*face.cover.at_three_quarters.value, 0.0);
  EXPECT_TRUE(face.cover.mean.Valid());
}

TEST(Truth, FlecksOfKnownSizeAreCountedOnce) {
  FaceRaster disc = Disc(30, 38, 10);
  // Squares of 1 mm (counted), of 0.2 mm (0.04 mm2, too small) and one pair that touches at a
  // corner.
  const auto square = [&](double x_mm, double y_mm, double side_mm) {
    const int x = static_cast<int>((x_mm + 40) * 10);
    const int y = static_cast<int>((y_mm + 40) * 10);
    disc.fat(cv::Rect(x, y, static_cast<int>(side_mm * 10), static_cast<int>(side_mm * 10)))
        .setTo(255);
  };
  for (int i = 0; i < 5; ++i) square(-20.0 + 6 * i, 0, 1.0);
  for (int i = 0; i < 7; ++i) square(-20.0 + 5 * i, 10, 0.2);
  square(0, -10, 1.0);
  square(1, -9, 1.0);
  const cv::Mat inside = disc.label == static_cast<int>(kFirstMuscle);
  const MuscleCounts c = CountMuscle(disc.fat, inside, 10);
  EXPECT_EQ(c.flecks, 6.0);
  EXPECT_NEAR(c.fleck_p50_mm2, 1.0, 1e-9);
  EXPECT_NEAR(c.fat_mm2, 5 + 7 * 0.04 + 2, 1e-9);
  EXPECT_EQ(c.coarseness_pct, 0.0);  // nothing is thicker than 1 mm
}

TEST(Truth, FleckCountAgreesWithABruteForceFill) {
  Recipe recipe;
  recipe.seed = 17;
  FaceRaster disc = Disc(20, 24, 8);
  disc.muscles[0].marbling_aim = 0.12;
  DrawFlecks(disc, recipe);
  const cv::Mat inside = disc.label == static_cast<int>(kFirstMuscle);
  const MuscleCounts c = CountMuscle(disc.fat, inside, 8);
  EXPECT_NEAR(c.fat_mm2 / c.area_mm2, 0.12, 0.004);
  cv::Mat todo = (disc.fat >= 128) & inside;
  int pieces = 0;
  for (int y = 0; y < todo.rows; ++y) {
    for (int x = 0; x < todo.cols; ++x) {
      if (todo.at<std::uint8_t>(y, x) == 0) continue;
      std::vector<cv::Point> stack{{x, y}};
      todo.at<std::uint8_t>(y, x) = 0;
      int size = 0;
      while (!stack.empty()) {
        const cv::Point p = stack.back();
        stack.pop_back();
        ++size;
        for (int dy = -1; dy <= 1; ++dy) {
          for (int dx = -1; dx <= 1; ++dx) {
            const cv::Point q(p.x + dx, p.y + dy);
            if (q.x < 0 || q.y < 0 || q.x >= todo.cols || q.y >= todo.rows) continue;
            if (todo.at<std::uint8_t>(q) == 0) continue;
            todo.at<std::uint8_t>(q) = 0;
            stack.push_back(q);
          }
        }
      }
      if (size / 64.0 >= kFleckLeastMm2) ++pieces;
    }
  }
  EXPECT_EQ(c.flecks, pieces);
  EXPECT_GT(pieces, 10);
}

TEST(Truth, MoreFlecksNeverLowerMarbling) {
  double before = -1.0;
  for (double aim : {0.0, 0.005, 0.03, 0.1, 0.25, 0.45, 0.55}) {
    Recipe recipe;
    recipe.seed = 19;
    FaceRaster disc = Disc(20, 24, 8);
    disc.muscles[0].marbling_aim = aim;
    DrawFlecks(disc, recipe);
    const MuscleCounts c = CountMuscle(disc.fat, disc.label == static_cast<int>(kFirstMuscle), 8);
    const double share = c.fat_mm2 / c.area_mm2;
    EXPECT_NEAR(share, aim, 0.002 + 0.02 * aim);
    EXPECT_GT(share, before);
    before = share;
  }
}

TEST(Truth, UnevenMarblingHasTheSpreadOfItsTiles) {
  FaceRaster disc = Disc(30, 32, 8);
  // Left half all fat, right half lean: tiles are near 0 or 100 %, so the spread is near 50 points.
  const int middle = disc.fat.cols / 2;
  cv::Mat left = disc.fat(cv::Rect(0, 0, middle, disc.fat.rows));
  left.setTo(255);
  const MuscleCounts c = CountMuscle(disc.fat, disc.label == static_cast<int>(kFirstMuscle), 8);
  EXPECT_GT(c.evenness_pct, 40.0);
  EXPECT_LE(c.evenness_pct, 50.0);
}

}  // namespace
}  // namespace ribwright::phantom
