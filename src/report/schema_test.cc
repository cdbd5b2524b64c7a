// SPDX-License-Identifier: Apache-2.0
// The written JSON against schema/face.schema.json, by a small checker of the keywords that file
// uses; a keyword it does not know fails the test, so that the schema cannot outgrow the check.
#include <gtest/gtest.h>

#include <fstream>
#include <nlohmann/json.hpp>
#include <set>
#include <string>

#include "report/json.h"
#include "report/sample_reports.h"

namespace ribwright::report {
namespace {

using nlohmann::json;

bool IsOfType(const json& value, const std::string& type) {
  if (type == "object") return value.is_object();
  if (type == "array") return value.is_array();
  if (type == "string") return value.is_string();
  if (type == "number") return value.is_number();
  if (type == "integer") return value.is_number_integer();
  if (type == "boolean") return value.is_boolean();
  if (type == "null") return value.is_null();
  ADD_FAILURE() << "unknown type " << type;
  return false;
}

class Checker {
 public:
  explicit Checker(json schema) : root_(std::move(schema)) {}

  // Empty when it fits, else the first place that does not.
  std::string Complaint(const json& value) const { return Check(value, root_, "$"); }

 private:
  std::string Check(const json& v, const json& s, const std::string& path) const {
    for (const auto& item : s.items()) {
      std::string bad = Keyword(v, s, item.key(), item.value(), path);
      if (!bad.empty()) return bad;
    }
    return "";
  }

  std::string Keyword(const json& v, const json& s, const std::string& key, const json& arg,
                      const std::string& path) const {
    const auto no = [&](bool holds) { return holds ? std::string() : path + " breaks " + key; };
    if (key == "$ref") return Check(v, root_["$defs"][arg.get<std::string>().substr(8)], path);
    if (key == "type") {
      const json types = arg.is_array() ? arg : json::array({arg});
      bool any = false;
      for (const json& type : types) any = any || IsOfType(v, type.get<std::string>());
      return no(any);
    }
    if (key == "const") return no(v == arg);
    if (key == "enum") return no(std::find(arg.begin(), arg.end(), v) != arg.end());
    if (key == "minimum") return no(!v.is_number() || v.get<double>() >= arg.get<double>());
    if (key == "maximum") return no(!v.is_number() || v.get<double>() <= arg.get<double>());
    if (key == "exclusiveMinimum") return no(v.get<double>() > arg.get<double>());
    if (key == "exclusiveMaximum") return no(v.get<double>() < arg.get<double>());
    if (key == "minLength") return no(!v.get<std::string>().empty());
    if (key == "minItems") return no(v.size() >= arg.get<std::size_t>());
    if (key == "maxItems") return no(v.size() <= arg.get<std::size_t>());
    if (key == "required") {
      for (const json& name : arg) {
        if (!v.is_object() || !v.contains(name.get<std::string>())) {
          return path + " lacks " + name.get<std::string>();
        }
      }
      return "";
    }
    if (key == "properties") {
      for (const auto& item : arg.items()) {
        if (!v.is_object() || !v.contains(item.key())) continue;
        std::string bad = Check(v[item.key()], item.value(), path + "." + item.key());
        if (!bad.empty()) return bad;
      }
      return "";
    }
    if (key == "additionalProperties" || key == "items") {
      for (const auto& item : v.items()) {
        std::string bad = Check(item.value(), arg, path + "." + item.key());
        if (!bad.empty()) return bad;
      }
      return "";
    }
    if (key == "oneOf" || key == "anyOf") {
      int fits = 0;
      std::string reasons;
      for (const json& option : arg) {
        const std::string bad = Check(v, option, path);
        fits += bad.empty() ? 1 : 0;
        reasons += " [" + bad + "]";
      }
      return fits == 1 || (key == "anyOf" && fits > 0) ? "" : path + " breaks " + key + reasons;
    }
    static const std::set<std::string> kWords = {"$schema", "$id", "title", "description", "$defs"};
    EXPECT_TRUE(kWords.contains(key)) << "the checker does not know " << key << " at " << s;
    return "";
  }

  json root_;
};

Checker FaceChecker() {
  std::ifstream file(std::string(RIBWRIGHT_SOURCE_DIR) + "/schema/face.schema.json");
  return Checker(json::parse(file));
}

TEST(FaceSchema, EveryWrittenReportFits) {
  const Checker checker = FaceChecker();
  for (const PhotoReport& r : {SampleRib(), SampleWithoutScale(), SampleTruth(), SampleError()}) {
    EXPECT_EQ(checker.Complaint(json::parse(ToJson(r, false))), "");
  }
}

TEST(FaceSchema, WhatBreaksTheContractDoesNotFit) {
  const Checker checker = FaceChecker();
  const json good = json::parse(ToJson(SampleRib(), false));
  const auto broken = [&](const json::json_pointer& at, const json& value) {
    json j = good;
    j[at] = value;
    return !checker.Complaint(j).empty();
  };
  using Ptr = json::json_pointer;
  EXPECT_TRUE(broken(Ptr("/schema"), "ribwright.face/2"));
  EXPECT_TRUE(broken(Ptr("/scale/source"), "ruler"));
  EXPECT_TRUE(broken(Ptr("/faces/0/area"), 12.0));
  EXPECT_TRUE(broken(Ptr("/faces/0/area/value"), nullptr));
  EXPECT_TRUE(broken(Ptr("/faces/0/area/level"), 1.0));
  EXPECT_TRUE(broken(Ptr("/faces/0/grade_odds/us/prime"), 1.5));
  EXPECT_TRUE(broken(Ptr("/faces/0/muscles/0/name"), "ribeye"));
  EXPECT_TRUE(broken(Ptr("/faces/0/outline_px/0"), json::array({json::array({1, 2})})));
  json j = good;
  j["faces"][0].erase("fat_colour");
  EXPECT_FALSE(checker.Complaint(j).empty());
}

// The names of muscles and signs stand in two places; this keeps them one.
TEST(FaceSchema, NamesAreThoseOfTheProgram) {
  std::ifstream file(std::string(RIBWRIGHT_SOURCE_DIR) + "/schema/face.schema.json");
  const json schema = json::parse(file);
  const json& muscles = schema["$defs"]["muscle"]["properties"]["name"]["enum"];
  for (int i = 0; i <= static_cast<int>(MuscleName::kOther); ++i) {
    EXPECT_EQ(muscles.at(static_cast<std::size_t>(i)), MuscleText(static_cast<MuscleName>(i)));
  }
  EXPECT_EQ(muscles.size(), static_cast<std::size_t>(MuscleName::kOther) + 1);
  const json& signs = schema["$defs"]["sign"]["properties"]["of"]["enum"];
  for (int i = 0; i <= static_cast<int>(SignOf::kBrowned); ++i) {
    EXPECT_EQ(signs.at(static_cast<std::size_t>(i)), SignText(static_cast<SignOf>(i)));
  }
}

}  // namespace
}  // namespace ribwright::report
