// SPDX-License-Identifier: Apache-2.0
#include "programme/layers.h"

#include <gtest/gtest.h>
#include <png.h>

#include <cmath>
#include <cstring>
#include <opencv2/imgproc.hpp>
#include <optional>

#include "programme/cover_ruler.h"
#include "programme/palette.h"
#include "programme/test_scene.h"

namespace ribwright::programme {
namespace {

// R G B A, by libpng's own simple reader.
cv::Mat Read(const std::vector<std::uint8_t>& bytes) {
  png_image image{};
  image.version = PNG_IMAGE_VERSION;
  EXPECT_NE(png_image_begin_read_from_memory(&image, bytes.data(), bytes.size()), 0);
  image.format = PNG_FORMAT_RGBA;
  cv::Mat out(static_cast<int>(image.height), static_cast<int>(image.width), CV_8UC4);
  EXPECT_NE(png_image_finish_read(&image, nullptr, out.data, 0, nullptr), 0);
  return out;
}

cv::Vec4b At(const cv::Mat& layer, cv::Point photo_px, cv::Size photo) {
  const double scale = LayerScale(photo);
  return layer.at<cv::Vec4b>(static_cast<int>(photo_px.y * scale),
                             static_cast<int>(photo_px.x * scale));
}

TEST(Layers, ShowEachTissueWhereItLiesAndNothingElsewhere) {
  const TestScene scene = MakeTestScene(3000, 2200);
  const auto layers = DrawLayers(scene.tissue, scene.report);
  ASSERT_TRUE(layers);
  const cv::Mat fat = Read(layers->fat);
  const cv::Mat glare = Read(layers->glare);
  EXPECT_EQ(fat.cols, kLayerSide);
  for (const auto& [tissue, where] : scene.patch) {
    const bool is_fat = tissue == report::Tissue::kMuscleFat || tissue == report::Tissue::kOtherFat;
    EXPECT_EQ(At(fat, where, scene.rgb.size())[3] > 100, is_fat) << static_cast<int>(tissue);
    EXPECT_EQ(At(glare, where, scene.rgb.size())[3] > 100, tissue == report::Tissue::kUnreadable)
        << static_cast<int>(tissue);
    if (!is_fat) continue;
    for (const TissuePaint& paint : TissuePaints()) {
      if (paint.tissue != tissue) continue;
      const cv::Vec4b seen = At(fat, where, scene.rgb.size());
      EXPECT_EQ(cv::Vec3b(seen[0], seen[1], seen[2]), paint.rgb);
    }
  }
}

TEST(Layers, FillMusclesByNameOnTheReducedGrid) {
  const TestScene scene = MakeTestScene(3000, 2200);
  const auto layers = DrawLayers(scene.tissue, scene.report);
  ASSERT_TRUE(layers);
  const cv::Mat muscles = Read(layers->muscles);
  const report::Muscle& muscle = scene.report.faces.front().muscles.front();
  cv::Point2d middle;
  for (const report::Point& p : muscle.outline_px.front()) middle += cv::Point2d(p.x, p.y);
  middle *= 1.0 / static_cast<double>(muscle.outline_px.front().size());
  EXPECT_GT(At(muscles, middle, scene.rgb.size())[3], 0);
  EXPECT_EQ(At(muscles, {5, 5}, scene.rgb.size())[3], 0);
}

// A square face with a muscle that leaves 30 px of cover at its left edge and none elsewhere.
TEST(Layers, TheCoverLayerIsARulerFromTheEdgeToTheFirstMuscle) {
  report::PhotoReport report;
  report::Face& face = report.faces.emplace_back();
  face.outline_px = {{{100, 100}, {500, 100}, {500, 500}, {100, 500}}};
  face.muscles.emplace_back().outline_px = {{{130, 100}, {500, 100}, {500, 500}, {130, 500}}};
  cv::Mat tissue = cv::Mat::zeros(600, 600, CV_8U);
  tissue(cv::Rect(100, 100, 400, 400)).setTo(static_cast<int>(report::Tissue::kLean));
  tissue(cv::Rect(100, 100, 30, 400)).setTo(static_cast<int>(report::Tissue::kOtherFat));
  report.scale.px_per_mm = Measured::Of(4, 4, 4, "px/mm", "test");
  const auto layers = DrawLayers(tissue, report);
  ASSERT_TRUE(layers);
  const cv::Mat cover = Read(layers->cover);
  int crossings = 0;  // of a column in the middle of the cover
  bool was = false;
  for (int y = 150; y < 450; ++y) {
    const bool on = cover.at<cv::Vec4b>(y, 115)[3] == 255;
    if (on && !was) ++crossings;
    was = on;
    EXPECT_EQ(cover.at<cv::Vec4b>(y, 140)[3], 0);
    EXPECT_EQ(cover.at<cv::Vec4b>(y, 300)[3], 0);
  }
  EXPECT_NEAR(crossings, 300 / (5.0 * 4), 1);  // a line every 5 mm

  // Bone between edge and muscle: nothing was measured there.
  tissue(cv::Rect(110, 100, 8, 400)).setTo(static_cast<int>(report::Tissue::kBone));
  const auto boned = DrawLayers(tissue, report);
  ASSERT_TRUE(boned);
  EXPECT_EQ(cv::countNonZero(Read(boned->cover).colRange(102, 140).reshape(1)), 0);
}

TEST(Layers, TheRulersLinesAreAsLongAsTheCoverIsThick) {
  RulerInput in;
  in.inside = cv::Mat::zeros(400, 400, CV_8U);
  in.muscles = cv::Mat::zeros(400, 400, CV_8U);
  cv::circle(in.inside, {200, 200}, 150, cv::Scalar(255), cv::FILLED);
  cv::circle(in.muscles, {200, 200}, 138, cv::Scalar(255), cv::FILLED);
  for (const std::optional<double> px_per_mm : {std::optional<double>(), std::optional(2.0)}) {
    in.px_per_mm = px_per_mm;
    const auto lines = CoverRuler(in);
    EXPECT_GT(lines.size(), 60U);
    for (const RulerLine& line : lines) {
      const cv::Point2d across = line.muscle - line.edge;
      EXPECT_NEAR(std::hypot(across.x, across.y), 12.0, 1.5);
      const cv::Point2d out = line.edge - cv::Point2d(200, 200);
      // Square to the edge: towards the middle.
      EXPECT_LT(across.dot(out), -0.97 * std::hypot(across.x, across.y) * 150.0);
    }
  }
}

TEST(Layers, OpacityFollowsTheShareThatFlecksCover) {
  cv::Mat tissue(4096, 4096, CV_8U, cv::Scalar(static_cast<int>(report::Tissue::kLean)));
  // Every second column is fat: half of each layer pixel.
  for (int x = 0; x < 2048; x += 2) {
    tissue.col(x).setTo(static_cast<int>(report::Tissue::kMuscleFat));
  }
  tissue.colRange(2048, 4096).setTo(static_cast<int>(report::Tissue::kMuscleFat));
  const auto layers = DrawLayers(tissue, {});
  ASSERT_TRUE(layers);
  const cv::Mat fat = Read(layers->fat);
  const int half = fat.at<cv::Vec4b>(1000, 500)[3];
  const int whole = fat.at<cv::Vec4b>(1000, 1500)[3];
  EXPECT_NEAR(half, whole / 2.0, whole / static_cast<double>(kLayerSteps));
}

}  // namespace
}  // namespace ribwright::programme
