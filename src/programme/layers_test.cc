// SPDX-License-Identifier: Apache-2.0
#include "programme/layers.h"

#include <gtest/gtest.h>
#include <png.h>

#include <cstring>

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

// A square face of lean with fat along its left edge and a fat island in the middle.
TEST(Layers, CoverIsTheFatAtTheOuterEdgeNotAnIsland) {
  report::PhotoReport report;
  report::Face& face = report.faces.emplace_back();
  face.outline_px = {{{100, 100}, {500, 100}, {500, 500}, {100, 500}}};
  cv::Mat tissue = cv::Mat::zeros(600, 600, CV_8U);
  tissue(cv::Rect(100, 100, 400, 400)).setTo(static_cast<int>(report::Tissue::kLean));
  tissue(cv::Rect(100, 100, 30, 400)).setTo(static_cast<int>(report::Tissue::kOtherFat));
  tissue(cv::Rect(280, 280, 40, 40)).setTo(static_cast<int>(report::Tissue::kOtherFat));
  const auto layers = DrawLayers(tissue, report);
  ASSERT_TRUE(layers);
  const cv::Mat cover = Read(layers->cover);
  EXPECT_GT(cover.at<cv::Vec4b>(300, 115)[3], 0);
  EXPECT_EQ(cover.at<cv::Vec4b>(300, 300)[3], 0);
  EXPECT_GT(Read(layers->fat).at<cv::Vec4b>(300, 300)[3], 0);
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
