// SPDX-License-Identifier: Apache-2.0
// Drawn faces of known shape: an ellipse of lean with a rim of fat and round flecks on a dark
// board.
#include "face/measure.h"

#include <gtest/gtest.h>

#include <cmath>
#include <opencv2/imgproc.hpp>

#include "math/rng.h"
#include "photo/srgb.h"

namespace ribwright::face {
namespace {

struct Drawn {
  cv::Mat rgb;
  double eye_marbling_pct = 0.0;
  double area_px = 0.0;
};

// fleck_radius in pixels; count flecks at random places that do not overlap.
Drawn Draw(int count, double fleck_radius, double blur, std::uint64_t seed) {
  constexpr int kEnlarge = 3;
  const cv::Size size(900, 700);
  const cv::Point centre(450, 350);
  const cv::Size lean_axes(300, 200);
  const cv::Size face_axes(325, 225);
  cv::Mat large(size * kEnlarge, CV_8UC3, cv::Scalar(35, 38, 45));
  const cv::Scalar lean(150, 45, 50);
  const cv::Scalar fat(225, 205, 180);
  cv::ellipse(large, centre * kEnlarge, face_axes * kEnlarge, 0, 0, 360, fat, cv::FILLED);
  cv::ellipse(large, centre * kEnlarge, lean_axes * kEnlarge, 0, 0, 360, lean, cv::FILLED);
  math::Rng rng(seed);
  std::vector<cv::Point2d> places;
  for (int tries = 0; tries < 20000 && static_cast<int>(places.size()) < count; ++tries) {
    const cv::Point2d p(rng.Uniform(180, 720), rng.Uniform(170, 530));
    const double e = std::hypot((p.x - centre.x) / 270.0, (p.y - centre.y) / 170.0);
    bool clear = e < 1.0;
    for (const auto& q : places)
      clear = clear && std::hypot(p.x - q.x, p.y - q.y) > 3.0 * fleck_radius;
    if (clear) places.push_back(p);
  }
  for (const auto& p : places) {
    cv::circle(large, cv::Point(int(p.x * kEnlarge), int(p.y * kEnlarge)),
               int(std::lround(fleck_radius * kEnlarge)), fat, cv::FILLED);
  }
  Drawn drawn;
  // Light mixes in linear light: average and blur there, then encode.
  cv::Mat to_linear(1, 256, CV_32F);
  for (int v = 0; v < 256; ++v) {
    to_linear.at<float>(v) = static_cast<float>(photo::LinearFromSrgb(v / 255.0));
  }
  cv::Mat linear;
  cv::LUT(large, to_linear, linear);
  cv::resize(linear, linear, size, 0, 0, cv::INTER_AREA);
  if (blur > 0) cv::GaussianBlur(linear, linear, cv::Size(), blur);
  drawn.rgb.create(size, CV_8UC3);
  for (int y = 0; y < size.height; ++y) {
    for (int x = 0; x < size.width; ++x) {
      for (int c = 0; c < 3; ++c) {
        drawn.rgb.at<cv::Vec3b>(y, x)[c] = cv::saturate_cast<std::uint8_t>(
            255.0 * photo::SrgbFromLinear(static_cast<double>(linear.at<cv::Vec3f>(y, x)[c])));
      }
    }
  }
  cv::Mat noise(size, CV_8UC3);
  cv::RNG noise_source(seed);
  noise_source.fill(noise, cv::RNG::UNIFORM, 0, 5);
  drawn.rgb += noise;
  const double pi = std::acos(-1.0);
  const double eye = pi * lean_axes.width * lean_axes.height;
  drawn.eye_marbling_pct = 100.0 * double(places.size()) * pi * fleck_radius * fleck_radius / eye;
  drawn.area_px = pi * face_axes.width * face_axes.height;
  return drawn;
}

Request RequestFor(const cv::Mat& rgb) {
  Request request;
  request.rgb = rgb;
  request.method = MethodName::kClassical;
  request.colour.xyz_from_linear = photo::XyzFromLinearSrgb();
  request.colour.status.source = "none";
  return request;
}

TEST(Measure, FindsADrawnFaceAndItsArea) {
  const Drawn drawn = Draw(60, 6.0, 1.0, 1);
  const auto outcome = Measure(RequestFor(drawn.rgb));
  ASSERT_TRUE(outcome.has_value()) << outcome.error().message;
  ASSERT_EQ(outcome->faces.size(), 1U);
  EXPECT_NEAR(outcome->faces[0].area_px, drawn.area_px, 0.03 * drawn.area_px);
}

TEST(Measure, ReadsTheMarblingOfDrawnFlecksWithinItsInterval) {
  for (int count : {20, 60, 120}) {
    const Drawn drawn = Draw(count, 7.0, 1.0, 2);
    const auto outcome = Measure(RequestFor(drawn.rgb));
    ASSERT_TRUE(outcome.has_value());
    ASSERT_FALSE(outcome->faces[0].muscles.empty());
    const auto& eye = outcome->faces[0].muscles[0];
    EXPECT_EQ(eye.name, report::MuscleName::kLongissimus);
    EXPECT_GE(drawn.eye_marbling_pct, eye.marbling_pct.low) << count;
    EXPECT_LE(drawn.eye_marbling_pct, eye.marbling_pct.high) << count;
  }
}

TEST(Measure, MoreFlecksNeverReadAsLessMarbling) {
  double before = -1.0;
  for (int count : {0, 15, 40, 90}) {
    const auto outcome = Measure(RequestFor(Draw(count, 6.0, 1.0, 3).rgb));
    ASSERT_TRUE(outcome.has_value());
    ASSERT_FALSE(outcome->faces[0].muscles.empty());
    const double now = *outcome->faces[0].muscles[0].marbling_pct.value;
    EXPECT_GT(now, before) << count;
    before = now;
  }
}

TEST(Measure, AMirroredPhotoReadsTheSame) {
  const Drawn drawn = Draw(60, 6.0, 1.0, 4);
  cv::Mat mirrored;
  cv::flip(drawn.rgb, mirrored, 1);
  const auto a = Measure(RequestFor(drawn.rgb));
  const auto b = Measure(RequestFor(mirrored));
  ASSERT_TRUE(a.has_value() && b.has_value());
  EXPECT_NEAR(*a->faces[0].fat_share_pct.value, *b->faces[0].fat_share_pct.value, 1.0);
}

TEST(Measure, LengthsAreUnknownWithoutAScaleAndKnownWithOne) {
  const Drawn drawn = Draw(60, 6.0, 1.0, 5);
  Request request = RequestFor(drawn.rgb);
  const auto without = Measure(request);
  ASSERT_TRUE(without.has_value());
  EXPECT_FALSE(without->faces[0].area.Known());
  EXPECT_FALSE(without->faces[0].area.reason.empty());
  photo::Plane plane;
  const double px_per_mm = 6.0;
  plane.mm_from_px = cv::Matx33d(1 / px_per_mm, 0, 0, 0, 1 / px_per_mm, 0, 0, 0, 1);
  plane.source = report::ScaleSource::kUser;
  request.plane = plane;
  const auto with = Measure(request);
  ASSERT_TRUE(with.has_value());
  const double cm2 = drawn.area_px / (px_per_mm * px_per_mm) / 100.0;
  EXPECT_NEAR(*with->faces[0].area.value, cm2, 0.03 * cm2);
  // The rim of fat is 25 px = 4.2 mm thick all round.
  EXPECT_NEAR(*with->faces[0].cover.mean.value, 25.0 / px_per_mm, 1.0);
}

TEST(Measure, TheTissueMapHoldsOnlyKnownCodesAndCoversTheFace) {
  const Drawn drawn = Draw(60, 6.0, 1.0, 6);
  const auto outcome = Measure(RequestFor(drawn.rgb));
  ASSERT_TRUE(outcome.has_value());
  ASSERT_EQ(outcome->tissue.size(), drawn.rgb.size());
  double most = 0.0;
  cv::minMaxLoc(outcome->tissue, nullptr, &most);
  EXPECT_LE(most, 5.0);
  EXPECT_NEAR(cv::countNonZero(outcome->tissue), drawn.area_px, 0.03 * drawn.area_px);
}

TEST(Measure, AnEmptyBoardHasNoFace) {
  const cv::Mat board(400, 600, CV_8UC3, cv::Scalar(90, 92, 95));
  const auto outcome = Measure(RequestFor(board));
  ASSERT_FALSE(outcome.has_value());
  EXPECT_EQ(outcome.error().code, Code::kNoFace);
}

TEST(Measure, AThumbnailIsRefused) {
  const auto outcome = Measure(RequestFor(cv::Mat(40, 40, CV_8UC3, cv::Scalar(150, 45, 50))));
  ASSERT_FALSE(outcome.has_value());
  EXPECT_EQ(outcome.error().code, Code::kPhotoTooSmall);
}

TEST(Measure, AnEditedOutlineIsMeasuredExactly) {
  const Drawn drawn = Draw(60, 6.0, 1.0, 7);
  Request request = RequestFor(drawn.rgb);
  request.edits = Edits{};
  request.edits->outlines = {{{{300, 250}, {600, 250}, {600, 450}, {300, 450}}}};
  const auto outcome = Measure(request);
  ASSERT_TRUE(outcome.has_value());
  EXPECT_NEAR(outcome->faces[0].area_px, 300.0 * 200.0, 0.01 * 300 * 200);
}

// Each face is measured on a picture of its own of at most kCanvasPixels; sizes are those in the
// photo all the same.
TEST(Measure, TheLargestFaceComesFirstWhateverItsCanvas) {
  const cv::Mat lean(1600, 3550, CV_8UC3, cv::Scalar(150, 45, 50));
  Request request = RequestFor(lean);
  request.edits = Edits{};
  // A diamond half fills its box: larger than the oblong in the photo, smaller on its canvas.
  const report::Ring diamond = {{2540, 5}, {3540, 790}, {2540, 1590}, {1540, 790}};
  request.edits->outlines = {{{{20, 20}, {1320, 20}, {1320, 1150}, {20, 1150}}}, {diamond}};
  const auto outcome = Measure(request);
  ASSERT_TRUE(outcome.has_value()) << outcome.error().message;
  ASSERT_EQ(outcome->faces.size(), 2U);
  EXPECT_NEAR(outcome->faces[0].area_px, 0.5 * 2000.0 * 1585.0, 5e3);
  EXPECT_NEAR(outcome->faces[1].area_px, 1300.0 * 1130.0, 5e3);
}

}  // namespace
}  // namespace ribwright::face
