// SPDX-License-Identifier: Apache-2.0
// The joining of the stages; a stand-in for the face stage returns invented faces.
#include "programme/judge.h"

#include <gtest/gtest.h>

#include <algorithm>

#include "photo/encode.h"
#include "programme/test_scene.h"
#include "report/json.h"

namespace ribwright::programme {
namespace {

std::vector<std::uint8_t> PngOf(const cv::Mat& rgb) {
  auto png = photo::EncodePng(rgb);
  EXPECT_TRUE(png.has_value());
  return *png;
}

MeasureFaces StandIn(const TestScene& scene, face::Request* seen = nullptr) {
  return [&scene, seen](const face::Request& request) -> Result<face::Outcome> {
    if (seen != nullptr) *seen = request;
    face::Outcome outcome;
    outcome.method = {"classical", "stand-in"};
    outcome.faces = scene.report.faces;
    outcome.tissue = scene.tissue;
    return outcome;
  };
}

bool Warns(const report::PhotoReport& r, Code code) {
  return std::any_of(r.warnings.begin(), r.warnings.end(),
                     [&](const report::Caution& c) { return c.code == code; });
}

TEST(Judge, AMeasuredFaceGetsScaleGradesAndJson) {
  const TestScene scene = MakeTestScene(400, 300);
  JudgeOptions options;
  options.px_per_mm = 4.0;
  options.use_card = false;
  const Judged judged = JudgePhoto(PngOf(scene.rgb), "a.png", options, StandIn(scene));
  const report::PhotoReport& r = judged.report;
  ASSERT_FALSE(r.error.has_value()) << r.error->message;
  EXPECT_EQ(r.width_px, 400);
  EXPECT_TRUE(r.scale.known);
  EXPECT_EQ(r.scale.source, report::ScaleSource::kUser);
  EXPECT_NEAR(*r.scale.px_per_mm.value, 4.0, 1e-9);
  ASSERT_EQ(r.faces.size(), 1U);
  EXPECT_TRUE(r.faces[0].grade_odds.contains("us"));
  EXPECT_TRUE(Warns(r, Code::kGradeNotOfficial));
  EXPECT_EQ(judged.tissue.size(), cv::Size(400, 300));
  EXPECT_TRUE(report::FromJson(report::ToJson(r, false)).has_value());
}

TEST(Judge, WhatDoesNotLookLikeBeefKeepsItsNumbersAndLosesBeefsScales) {
  const TestScene scene = MakeTestScene(400, 300);
  const auto measure = [&](const face::Request& request) -> Result<face::Outcome> {
    auto outcome = StandIn(scene)(request);
    outcome->warnings.push_back({Code::kNotBeefLike, "The meat does not look like raw beef."});
    return outcome;
  };
  JudgeOptions options;
  options.bloom_min = 30.0;
  const report::PhotoReport r = JudgePhoto(PngOf(scene.rgb), "a.png", options, measure).report;
  ASSERT_FALSE(r.error.has_value());
  const report::Face& face = r.faces[0];
  EXPECT_FALSE(face.marbling_degree.Known());
  EXPECT_FALSE(face.grade_odds.at("us").Known());
  EXPECT_FALSE(face.rib_position.Known());
  EXPECT_TRUE(face.signs.empty());
  EXPECT_NE(face.signs_reason.find("raw beef"), std::string::npos);
  EXPECT_TRUE(face.marbling_pct.Known());
  EXPECT_EQ(r.entered->bloom_min, 30.0);
  EXPECT_FALSE(Warns(r, Code::kGradeNotOfficial));
  const auto back = report::FromJson(report::ToJson(r, false));
  ASSERT_TRUE(back.has_value()) << back.error().where;
  EXPECT_EQ(back->faces[0].signs_reason, face.signs_reason);
}

TEST(Judge, WithoutACardTheScaleIsNotKnownAndSaysWhy) {
  const TestScene scene = MakeTestScene(400, 300);
  const Judged judged = JudgePhoto(PngOf(scene.rgb), "a.png", {}, StandIn(scene));
  EXPECT_FALSE(judged.report.scale.known);
  EXPECT_NE(judged.report.scale.px_per_mm.reason.find("no card was found"), std::string::npos);
  EXPECT_TRUE(Warns(judged.report, Code::kCardNotFound));
  EXPECT_FALSE(judged.report.colour.calibrated);
}

TEST(Judge, APhotoOfNothingButMeatIsNotSearchedForACard) {
  const TestScene scene = MakeTestScene(400, 300);
  JudgeOptions options;
  options.framing = face::Framing::kCrop;
  const Judged judged = JudgePhoto(PngOf(scene.rgb), "a.png", options, StandIn(scene));
  EXPECT_FALSE(Warns(judged.report, Code::kCardNotFound));
}

TEST(Judge, WhatTheUserStatesReachesTheFaceStage) {
  const TestScene scene = MakeTestScene(400, 300);
  face::Request seen;
  JudgeOptions options;
  options.bloom_min = 25.0;
  options.method = face::MethodName::kClassical;
  options.px_per_mm = 5.0;
  const Judged judged = JudgePhoto(PngOf(scene.rgb), "a.png", options, StandIn(scene, &seen));
  EXPECT_EQ(seen.bloom_min, 25.0);
  EXPECT_EQ(seen.method, face::MethodName::kClassical);
  ASSERT_TRUE(seen.plane.has_value());
  EXPECT_NEAR(seen.plane->PxPerMm(200, 150), 5.0, 1e-9);
  EXPECT_EQ(seen.rgb.size(), cv::Size(400, 300));
}

TEST(Judge, AnErrorOfAnyStageBecomesTheReports) {
  const TestScene scene = MakeTestScene(400, 300);
  const auto no_face = [](const face::Request&) -> Result<face::Outcome> {
    return Fail(Code::kNoFace, "No face.", "photo", "Take another photo.");
  };
  EXPECT_EQ(JudgePhoto(PngOf(scene.rgb), "a.png", {}, no_face).report.error->code, Code::kNoFace);
  const std::vector<std::uint8_t> text = {'h', 'e', 'l', 'l', 'o', ' ',
                                          't', 'h', 'e', 'r', 'e', '!'};
  const Judged judged = JudgePhoto(text, "a.txt", {}, StandIn(scene));
  EXPECT_EQ(judged.report.error->code, Code::kNotAPhoto);
  EXPECT_TRUE(judged.rgb.empty());
}

TEST(Judge, EditsMustLieInThePhoto) {
  const TestScene scene = MakeTestScene(400, 300);
  JudgeOptions options;
  options.edits.emplace();
  options.edits->outlines.push_back({{{10, 10}, {500, 10}, {10, 200}}});
  const Judged judged = JudgePhoto(PngOf(scene.rgb), "a.png", options, StandIn(scene));
  ASSERT_TRUE(judged.report.error.has_value());
  EXPECT_EQ(judged.report.error->code, Code::kEditsUnusable);
}

TEST(Judge, OptionsOutOfRangeAreNamed) {
  const auto where = [](auto&& set) {
    JudgeOptions options;
    set(options);
    const Status status = CheckJudgeOptions(options);
    return status ? std::string() : status.error().where;
  };
  EXPECT_EQ(where([](JudgeOptions&) {}), "");
  EXPECT_EQ(where([](JudgeOptions& o) { o.thickness_mm = 0.0; }), "--thickness-mm");
  EXPECT_EQ(where([](JudgeOptions& o) { o.thickness_mm = 501.0; }), "--thickness-mm");
  EXPECT_EQ(where([](JudgeOptions& o) { o.thickness_mm = std::nan(""); }), "--thickness-mm");
  EXPECT_EQ(where([](JudgeOptions& o) { o.px_per_mm = -1.0; }), "--px-per-mm");
  EXPECT_EQ(where([](JudgeOptions& o) { o.card_ruler_mm = 99.0; }), "--card-ruler-mm");
  EXPECT_EQ(where([](JudgeOptions& o) { o.bloom_min = -1.0; }), "--bloom-min");
  EXPECT_EQ(where([](JudgeOptions& o) { o.grade.dark_cutting = 1.1; }), "--dark-cutting");
  EXPECT_EQ(where([](JudgeOptions& o) {
              o.card_ruler_mm = 150.0;
              o.use_card = false;
            }),
            "--card-ruler-mm");
}

}  // namespace
}  // namespace ribwright::programme
