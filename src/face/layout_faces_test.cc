// SPDX-License-Identifier: Apache-2.0
// The layout network against drawn faces whose truth is known. Seeds lie apart from those it was
// trained on (1000 to 61000).
#include "face/layout_faces.h"

#include <gtest/gtest.h>

#include <opencv2/imgproc.hpp>
#include <string>

#include "face/layout_map.h"
#include "face/measure.h"
#include "phantom/render.h"
#include "photo/srgb.h"

namespace ribwright::face {
namespace {

phantom::Phantom Drawn(std::uint64_t seed, phantom::Cut cut, int pieces = 1) {
  phantom::RecipeOptions options;
  options.cut = cut;
  options.card = false;
  phantom::Recipe r = phantom::DrawRecipe(seed, options);
  r.px_per_mm = 3.5;
  r.raster_px_per_mm = 6.0;
  r.blur_sigma_px = 0.7;
  r.pieces = pieces;
  r.touching = pieces > 1;
  auto drawn = phantom::Render(r);
  EXPECT_TRUE(drawn.has_value());
  return std::move(*drawn);
}

Outcome Judge(const cv::Mat& rgb) {
  Request request;
  request.rgb = rgb;
  request.method = MethodName::kLearned;
  request.colour.xyz_from_linear = photo::XyzFromLinearSrgb();
  request.colour.status.source = "none";
  auto outcome = Measure(request);
  EXPECT_TRUE(outcome.has_value()) << outcome.error().message;
  return outcome ? std::move(*outcome) : Outcome{};
}

double Iou(const report::Outline& a, const report::Outline& b, cv::Size size) {
  const auto fill = [&](const report::Outline& outline) {
    cv::Mat mask = cv::Mat::zeros(size, CV_8U);
    std::vector<std::vector<cv::Point>> rings;
    for (const auto& ring : outline) {
      std::vector<cv::Point> points;
      for (const auto& p : ring) points.emplace_back(cvRound(p.x - 0.5), cvRound(p.y - 0.5));
      rings.push_back(points);
    }
    cv::fillPoly(mask, rings, cv::Scalar(255));
    return mask;
  };
  const cv::Mat x = fill(a);
  const cv::Mat y = fill(b);
  return cv::countNonZero(x & y) / std::max(1.0, static_cast<double>(cv::countNonZero(x | y)));
}

const report::Muscle* Find(const report::Face& face, report::MuscleName name) {
  for (const auto& m : face.muscles) {
    if (m.name == name) return &m;
  }
  return nullptr;
}

TEST(LayoutFaces, EyeAndOutlineLieWhereTheyWereDrawn) {
  using phantom::Cut;
  int good = 0;
  int all = 0;
  for (std::uint64_t seed : {402, 403, 404, 405}) {
    const Cut cut = seed % 3 == 0 ? Cut::kSirloin : seed % 3 == 1 ? Cut::kRib : Cut::kStrip;
    const phantom::Phantom drawn = Drawn(seed, cut);
    const Outcome outcome = Judge(drawn.rgb);
    ASSERT_EQ(outcome.faces.size(), 1U) << seed;
    const report::Face& truth = drawn.truth.faces[0];
    EXPECT_GT(Iou(outcome.faces[0].outline_px, truth.outline_px, drawn.rgb.size()), 0.90) << seed;
    const auto name = cut == Cut::kSirloin ? report::MuscleName::kGluteusMedius
                                           : report::MuscleName::kLongissimus;
    const report::Muscle* eye = Find(outcome.faces[0], name);
    ++all;
    if (eye && Iou(eye->outline_px, Find(truth, name)->outline_px, drawn.rgb.size()) > 0.92) ++good;
  }
  EXPECT_GE(good, all - 1);
}

TEST(LayoutFaces, FacesThatTouchAreMostlyParted) {
  int parted = 0;
  for (std::uint64_t seed : {411, 412, 414}) {
    const phantom::Phantom drawn = Drawn(seed, phantom::Cut::kRib, 2);
    ASSERT_EQ(drawn.truth.faces.size(), 2U);
    if (Judge(drawn.rgb).faces.size() == 2U) ++parted;
  }
  EXPECT_GE(parted, 2);
}

TEST(LayoutFaces, ACapIsCalledWhereItIsThick) {
  int right = 0;
  int all = 0;
  for (std::uint64_t seed : {421, 422, 423}) {
    const phantom::Phantom drawn = Drawn(seed, phantom::Cut::kRib);
    const report::Muscle* truth = Find(drawn.truth.faces[0], report::MuscleName::kSpinalis);
    if (!truth || *truth->area.value < 12.0) continue;  // thin ends of the cap
    ++all;
    const Outcome outcome = Judge(drawn.rgb);
    ASSERT_FALSE(outcome.faces.empty());
    const report::Muscle* cap = Find(outcome.faces[0], report::MuscleName::kSpinalis);
    if (cap && Iou(cap->outline_px, truth->outline_px, drawn.rgb.size()) > 0.80) ++right;
  }
  ASSERT_GT(all, 0);
  EXPECT_EQ(right, all);
}

TEST(LayoutMap, AnEmptyBoardIsOutsideAndSizesAreKept) {
  cv::Mat board(300, 500, CV_8UC3, cv::Scalar(90, 92, 95));
  cv::RNG noise(7);
  cv::Mat grain(board.size(), CV_8UC3);
  noise.fill(grain, cv::RNG::UNIFORM, 0, 12);
  board += grain;
  const LayoutMap layout = MapLayout(board, {250, 150});
  EXPECT_EQ(layout.kind.size(), cv::Size(250, 150));
  EXPECT_LT(cv::countNonZero(layout.kind), 0.02 * 250 * 150);
  EXPECT_TRUE(FindFaces(board, {}).regions.empty());
}

TEST(MusclesOf, SliversTakeTheNameOfTheMuscleThatHoldsThem) {
  cv::Mat kind = cv::Mat::zeros(200, 300, CV_8U);
  cv::Mat mask = cv::Mat::zeros(200, 300, CV_8U);
  cv::rectangle(mask, {20, 20}, {280, 180}, cv::Scalar(255), cv::FILLED);
  kind.setTo(kLayoutOtherFat, mask);
  cv::rectangle(kind, {40, 40}, {200, 160}, cv::Scalar(LayoutOf(report::MuscleName::kLongissimus)),
                cv::FILLED);
  cv::rectangle(kind, {60, 60}, {75, 75}, cv::Scalar(LayoutOf(report::MuscleName::kGluteusMedius)),
                cv::FILLED);
  cv::rectangle(kind, {220, 40}, {250, 160}, cv::Scalar(LayoutOf(report::MuscleName::kSpinalis)),
                cv::FILLED);
  const MuscleMap map = MusclesOf(kind, mask);
  ASSERT_EQ(map.regions.size(), 2U);
  EXPECT_EQ(map.regions[0].name, report::MuscleName::kLongissimus);
  EXPECT_EQ(map.regions[0].area_px, 161 * 121);
  EXPECT_EQ(map.regions[1].name, report::MuscleName::kSpinalis);
  EXPECT_TRUE(map.eye_certain);
}

}  // namespace
}  // namespace ribwright::face
