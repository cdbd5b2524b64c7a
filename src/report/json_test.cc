// SPDX-License-Identifier: Apache-2.0
#include "report/json.h"

#include <gtest/gtest.h>

#include <limits>
#include <nlohmann/json.hpp>

#include "base/check.h"
#include "report/sample_reports.h"

namespace ribwright::report {
namespace {

using nlohmann::ordered_json;

TEST(ReportJson, ReadsBackWhatItWrote) {
  for (const PhotoReport& r : {SampleRib(), SampleWithoutScale(), SampleTruth(), SampleError()}) {
    for (const bool pretty : {false, true}) {
      const std::string text = ToJson(r, pretty);
      const auto back = FromJson(text);
      ASSERT_TRUE(back.has_value()) << back.error().message << " at " << back.error().where;
      EXPECT_EQ(ToJson(*back, pretty), text);
    }
  }
}

TEST(ReportJson, CompactIsOneLineAndPrettyHoldsTheSame) {
  const PhotoReport r = SampleRib();
  const std::string compact = ToJson(r, false);
  EXPECT_EQ(compact.find('\n'), std::string::npos);
  EXPECT_EQ(ordered_json::parse(compact), ordered_json::parse(ToJson(r, true)));
}

TEST(ReportJson, KeysAndKeyOrderAreThoseOfTheContract) {
  const auto j = ordered_json::parse(ToJson(SampleRib(), false));
  EXPECT_EQ(j["schema"], "ribwright.face/1");
  for (const char* key : {"photo", "method", "warnings", "scale", "colour", "faces"}) {
    EXPECT_TRUE(j.contains(key)) << key;
  }
  const auto& face = j["faces"][0];
  for (const char* key : {"outline_px", "area", "lean_area", "fat_share_pct", "marbling_pct",
                          "muscles", "cover_mm", "lean_colour", "fat_colour", "signs", "imf_pct",
                          "marbling_degree", "grade_odds", "rib_position"}) {
    EXPECT_TRUE(face.contains(key)) << key;
  }
  const auto& muscle = face["muscles"][0];
  for (const char* key : {"name", "area", "marbling_pct", "flecks_per_cm2", "fleck_mm2",
                          "coarseness", "evenness", "outline_px"}) {
    EXPECT_TRUE(muscle.contains(key)) << key;
  }
  EXPECT_EQ(muscle["name"], "longissimus");
  EXPECT_DOUBLE_EQ(muscle["fleck_mm2"]["p90"]["value"].get<double>(), 3.1);
  EXPECT_DOUBLE_EQ(face["grade_odds"]["us"]["choice"].get<double>(), 0.88);
  EXPECT_DOUBLE_EQ(face["marbling_degree"]["odds"]["modest"].get<double>(), 0.55);
  const auto& q = face["area"];
  EXPECT_EQ(q["unit"], "cm2");
  EXPECT_DOUBLE_EQ(q["level"].get<double>(), 0.9);
  EXPECT_LE(q["low"].get<double>(), q["value"].get<double>());
}

TEST(ReportJson, WhatThePhantomLeavesOutIsAbsent) {
  const auto j = ordered_json::parse(ToJson(SampleTruth(), false));
  for (const char* key : {"signs", "imf_pct", "marbling_degree", "grade_odds", "spec"}) {
    EXPECT_FALSE(j["faces"][0].contains(key)) << key;
  }
}

TEST(ReportJson, SignsThatWereNotJudgedAreAnEmptyListWithTheReason) {
  const auto j = ordered_json::parse(ToJson(SampleWithoutScale(), false));
  EXPECT_TRUE(j["faces"][0]["signs"].is_array());
  EXPECT_TRUE(j["faces"][0]["signs"].empty());
  EXPECT_EQ(j["faces"][0]["signs_reason"], "colour is not calibrated");
  EXPECT_FALSE(
      ordered_json::parse(ToJson(SampleRib(), false))["faces"][0].contains("signs_reason"));
}

TEST(ReportJson, WhatWasEnteredStandsBesideTheNumbers) {
  const auto j = ordered_json::parse(ToJson(SampleRib(), false));
  EXPECT_EQ(j["taken"], "2026-03-01T12:00:00Z");
  EXPECT_DOUBLE_EQ(j["entered"]["thickness_mm"].get<double>(), 38.0);
  EXPECT_TRUE(j["entered"]["card_ruler_mm"].is_null());
  EXPECT_EQ(j["entered"]["card_values"], false);
}

TEST(ReportJson, AnUnknownScaleIsNullWithAReason) {
  const auto j = ordered_json::parse(ToJson(SampleWithoutScale(), false));
  EXPECT_TRUE(j["scale"]["px_per_mm"].is_null());
  EXPECT_EQ(j["scale"]["reason"], "no scale");
  EXPECT_TRUE(j["faces"][0]["area"]["value"].is_null());
  EXPECT_EQ(j["faces"][0]["area"]["reason"], "no scale");
}

TEST(ReportJson, AnErrorHoldsNothingElse) {
  const auto j = ordered_json::parse(ToJson(SampleError(), false));
  EXPECT_EQ(j.size(), 3U);
  EXPECT_EQ(j["error"]["code"], "file_unreadable");
  EXPECT_EQ(j["error"].size(), 4U);
}

TEST(ReportJson, NumbersThatAreNotValidAreOurFault) {
  PhotoReport r = SampleRib();
  r.faces[0].marbling_pct = Measured{};
  EXPECT_THROW(ToJson(r, false), LogicError);
  r = SampleRib();
  r.faces[0].outline_px[0][0].x = std::numeric_limits<double>::quiet_NaN();
  EXPECT_THROW(ToJson(r, false), LogicError);
  r = SampleRib();
  r.faces[0].cover.profile[2].thickness.low = 1e9;
  EXPECT_THROW(ToJson(r, false), LogicError);
}

TEST(ReportJson, ANameThatIsNotUtf8IsStillWritten) {
  PhotoReport r = SampleError();
  r.photo = "caf\xe9.jpg";
  EXPECT_EQ(ordered_json::parse(ToJson(r, false))["photo"], "caf\xef\xbf\xbd.jpg");
}

void ExpectRefused(const ordered_json& j, const std::string& where) {
  const auto back = FromJson(j.dump());
  ASSERT_FALSE(back.has_value()) << where;
  EXPECT_EQ(back.error().code, Code::kReportUnusable);
  EXPECT_EQ(back.error().where, where) << back.error().message;
}

TEST(ReportJson, WhatIsWrongIsNamedByItsPlace) {
  const auto good = ordered_json::parse(ToJson(SampleRib(), false));
  auto j = good;
  j["schema"] = "something.else/1";
  ExpectRefused(j, "schema");
  j = good;
  j["faces"][0].erase("area");
  ExpectRefused(j, "faces[0].area");
  j = good;
  j["faces"][0]["area"]["low"] = 1e6;
  ExpectRefused(j, "faces[0].area");
  j = good;
  j["faces"][0]["area"]["low"] = "12";
  ExpectRefused(j, "faces[0].area.low");
  j = good;
  j["faces"][0]["muscles"][1]["name"] = "tender";
  ExpectRefused(j, "faces[0].muscles[1].name");
  j = good;
  j["faces"][0]["outline_px"][0][0] = {1.0};
  ExpectRefused(j, "faces[0].outline_px");
  j = good;
  j["faces"][0]["grade_odds"]["us"]["prime"] = 0.9;
  ExpectRefused(j, "faces[0].grade_odds.us");
  j = good;
  j["scale"]["source"] = "guess";
  ExpectRefused(j, "scale.source");
  j = good;
  j["warnings"][0]["code"] = "no_such_code";
  ExpectRefused(j, "warnings[0].code");
}

TEST(ReportJson, TextThatIsNoJsonIsRefused) {
  for (const char* text : {"", "{", "[]", "null", "{\"schema\":1e999}", "{} {}"}) {
    const auto back = FromJson(text);
    ASSERT_FALSE(back.has_value()) << text;
    EXPECT_EQ(back.error().code, Code::kReportUnusable);
  }
}

TEST(ReportJson, FurtherKeysArePassedOver) {
  auto j = ordered_json::parse(ToJson(SampleRib(), false));
  j["later"] = 1;
  j["faces"][0]["later"] = {{"x", 1}};
  EXPECT_TRUE(FromJson(j.dump()).has_value());
}

}  // namespace
}  // namespace ribwright::report
