// SPDX-License-Identifier: Apache-2.0
#include "programme/edits_file.h"

#include <gtest/gtest.h>

#include <string>

#include "report/json.h"
#include "report/sample_reports.h"

namespace ribwright::programme {
namespace {

const std::string kSquare = "[[[10,10],[90,10],[90,90],[10,90]]]";

TEST(Edits, OutlinesAndMusclesAreRead) {
  const auto edits =
      ParseEdits(R"({"faces":[{"outline_px":)" + kSquare +
                 R"(,"muscles":[{"name":"spinalis","outline_px":)" + kSquare + "}]}]}");
  ASSERT_TRUE(edits.has_value()) << edits.error().message;
  ASSERT_EQ(edits->outlines.size(), 1U);
  EXPECT_EQ(edits->outlines[0][0].size(), 4U);
  ASSERT_EQ(edits->muscles.size(), 1U);
  EXPECT_EQ(edits->muscles[0].name, report::MuscleName::kSpinalis);
  EXPECT_EQ(edits->muscles[0].face, 0);
}

TEST(Edits, AJudgedJsonServesAsItIs) {
  const auto edits = ParseEdits(report::ToJson(report::SampleRib(), true));
  ASSERT_TRUE(edits.has_value()) << edits.error().message;
  EXPECT_EQ(edits->outlines.size(), 1U);
  EXPECT_EQ(edits->muscles.size(), 3U);
  EXPECT_TRUE(CheckEditsInPhoto(*edits, {800, 600}).has_value());
}

TEST(Edits, MusclesAloneKeepTheOutlinesThatAreFound) {
  const auto edits = ParseEdits(R"({"faces":[{},{"muscles":[{"name":"longissimus","outline_px":)" +
                                kSquare + "}]}]}");
  ASSERT_TRUE(edits.has_value()) << edits.error().message;
  EXPECT_TRUE(edits->outlines.empty());
  EXPECT_EQ(edits->muscles[0].face, 1);
}

TEST(Edits, WhatCannotBeUsedIsRefusedWithItsPlace) {
  const auto expect = [](const std::string& text, const std::string& where) {
    const auto edits = ParseEdits(text);
    ASSERT_FALSE(edits.has_value()) << text;
    EXPECT_EQ(edits.error().code, Code::kEditsUnusable);
    EXPECT_EQ(edits.error().where, where) << text;
  };
  expect("{", "byte 2");
  expect("[]", "top of the JSON");
  expect(R"({"faces":[]})", "faces");
  expect(R"({"faces":[{}]})", "faces");
  expect(R"({"faces":[{"outline_px":[]}]})", "faces[0].outline_px");
  expect(R"({"faces":[{"outline_px":[[[1,1],[2,2]]]}]})", "faces[0].outline_px");
  expect(R"({"faces":[{"outline_px":)" + kSquare + R"(},{}]})", "faces");
  expect(R"({"faces":[{"muscles":[{"name":"ribeye","outline_px":)" + kSquare + "}]}]}",
         "faces[0].muscles");
}

TEST(Edits, APointOutsideThePhotoIsRefused) {
  const auto edits = ParseEdits(R"({"faces":[{"outline_px":)" + kSquare + "}]}");
  ASSERT_TRUE(edits.has_value());
  EXPECT_TRUE(CheckEditsInPhoto(*edits, {90, 90}).has_value());
  const Status outside = CheckEditsInPhoto(*edits, {80, 90});
  ASSERT_FALSE(outside.has_value());
  EXPECT_EQ(outside.error().where, "faces[0].outline_px");
}

TEST(Edits, AMissingFileSaysItIsTheEditsFile) {
  const auto edits = ReadEdits("/nowhere/edits.json");
  ASSERT_FALSE(edits.has_value());
  EXPECT_EQ(edits.error().code, Code::kEditsUnusable);
}

}  // namespace
}  // namespace ribwright::programme
