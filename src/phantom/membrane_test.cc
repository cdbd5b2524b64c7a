// SPDX-License-Identifier: Apache-2.0
#include "phantom/membrane.h"

#include <gtest/gtest.h>

#include <cmath>
#include <opencv2/imgproc.hpp>

#include "phantom/anatomy.h"
#include "phantom/flecks.h"

namespace ribwright::phantom {
namespace {

Recipe Coarse() {
  Recipe r = DrawRecipe(81, {.cut = Cut::kRib});
  r.raster_px_per_mm = 8.0;
  r.eye_marbling = 0.12;
  r.fleck_width_mm = 1.2;
  return r;
}

FaceRaster WithFlecks(const Recipe& r) {
  FaceRaster face = RasterFromPlan(DrawPlan(r), r);
  DrawFlecks(face, r);
  return face;
}

double EdgeLength(const cv::Mat& fat) {
  cv::Mat edge;
  cv::morphologyEx(fat > 127, edge, cv::MORPH_GRADIENT, cv::Mat::ones(3, 3, CV_8U));
  return cv::countNonZero(edge);
}

TEST(Membrane, BittenFlecksKeepTheirAreaAndGainEdge) {
  Recipe r = Coarse();
  FaceRaster face = WithFlecks(r);
  const cv::Mat label = face.label.clone();
  const cv::Mat in_muscle = face.label >= static_cast<int>(kFirstMuscle);
  cv::Mat before;
  face.fat.copyTo(before, in_muscle);
  const cv::Mat whole = face.fat.clone();
  r.jag_mm = 0;
  BiteFlecks(face, r);
  EXPECT_EQ(cv::countNonZero(face.fat != whole), 0);
  r.jag_mm = 0.4;
  BiteFlecks(face, r);
  EXPECT_EQ(cv::countNonZero(face.label != label), 0);
  EXPECT_EQ(cv::countNonZero((face.fat != whole) & ~in_muscle), 0);
  cv::Mat after;
  face.fat.copyTo(after, in_muscle);
  EXPECT_NEAR(cv::sum(after)[0] / cv::sum(before)[0], 1.0, 0.05);
  EXPECT_GT(EdgeLength(after), 1.03 * EdgeLength(before));
}

TEST(Membrane, SilverskinLiesInMusclesAlongTheirBorders) {
  Recipe r = Coarse();
  FaceRaster face = WithFlecks(r);
  DrawSilverskin(face, r);
  EXPECT_EQ(cv::countNonZero(face.line), 0);
  r.silverskin = 0.5;
  const cv::Mat fat = face.fat.clone();
  DrawSilverskin(face, r);
  EXPECT_EQ(cv::countNonZero(face.fat != fat), 0);
  const cv::Mat in_muscle = face.label >= static_cast<int>(kFirstMuscle);
  EXPECT_EQ(cv::countNonZero((face.line > 0) & ~in_muscle), 0);
  const int drawn = cv::countNonZero(face.line > 0);
  EXPECT_GT(drawn, 100);
  // Nowhere deeper than 3 mm, and a muscle is deeper than that for the most part.
  cv::Mat depth(face.label.size(), CV_32F, cv::Scalar(0));
  for (std::size_t i = 0; i < face.muscles.size(); ++i) {
    const cv::Mat own = face.label == static_cast<int>(kFirstMuscle + i);
    cv::Mat one;
    cv::distanceTransform(own, one, cv::DIST_L2, 5);
    one.copyTo(depth, own);
  }
  double deepest = 0;
  cv::minMaxLoc(depth, nullptr, &deepest, nullptr, nullptr, face.line > 0);
  EXPECT_LT(deepest, 3.3 * face.px_per_mm);
}

}  // namespace
}  // namespace ribwright::phantom
