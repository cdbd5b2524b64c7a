// SPDX-License-Identifier: Apache-2.0
#include "server/schema_check.h"

#include <gtest/gtest.h>

namespace ribwright::server {
namespace {

std::string FaultOf(const char* schema, const char* value) {
  const auto check = SchemaCheck::Load({{"main.json", schema}});
  EXPECT_TRUE(check) << check.error().message;
  const auto fault = check->Check(*ParseJson(value), check->main(), "v");
  return fault ? fault->where + " " + fault->what : "";
}

struct Case {
  const char* schema;
  const char* fits;
  const char* not_fits;
  const char* where;
};

// One keyword each, as JSON Schema 2020-12 (validation vocabulary) defines it.
TEST(SchemaCheck, KeepsToEachKeyword) {
  for (const Case& c : {
           Case{R"({"type":"integer"})", "3", "3.5", "v must be of type integer"},
           Case{R"({"type":["string","null"]})", "null", "1", "v must be of type"},
           Case{R"({"const":"a"})", "\"a\"", "\"b\"", "v must be \"a\""},
           Case{R"({"enum":[1,"x"]})", "\"x\"", "2", "v must be one of"},
           Case{R"({"minimum":2})", "2", "1.99", "v must be at least 2"},
           Case{R"({"maximum":2})", "2", "2.01", "v must be at most 2"},
           Case{R"({"exclusiveMinimum":0})", "0.1", "0", "v must be over 0"},
           Case{R"({"exclusiveMaximum":1})", "0.9", "1", "v must be under 1"},
           Case{R"({"minLength":2})", "\"ab\"", "\"a\"", "v must have at least 2"},
           Case{R"({"maxLength":2})", "\"\u00e4\u00e4\"", "\"abc\"", "v must have at most 2"},
           Case{R"({"pattern":"^a+$"})", "\"aa\"", "\"ab\"", "v must look like"},
           Case{R"({"format":"date-time"})", "\"2024-02-29T23:59:59.5Z\"",
                "\"2023-02-29T00:00:00Z\"", "v must be a time"},
           Case{R"({"minItems":1})", "[0]", "[]", "v must have at least 1"},
           Case{R"({"maxItems":1})", "[0]", "[0,1]", "v must have at most 1"},
           Case{R"({"items":{"type":"string"}})", "[\"a\"]", "[\"a\",1]", "v[1] must be of type"},
           Case{R"({"required":["a"]})", R"({"a":1})", "{}", "v.a is missing"},
           Case{R"({"minProperties":1})", R"({"a":1})", "{}", "v must have at least 1"},
           Case{R"({"properties":{"a":{"type":"null"}}})", R"({"a":null,"b":1})", R"({"a":1})",
                "v.a must be of type null"},
           Case{R"({"properties":{"a":{}},"additionalProperties":false})", R"({"a":1})",
                R"({"a":1,"b":2})", "v.b is not asked for"},
           Case{R"({"additionalProperties":{"type":"number"}})", R"({"b":2})", R"({"b":"2"})",
                "v.b must be of type number"},
           Case{R"({"anyOf":[{"type":"null"},{"minimum":5}]})", "null", "4", "v must be at least"},
           Case{R"({"oneOf":[{"type":"integer"},{"minimum":5}]})", "4", "6", "v fits more than"},
           Case{R"({"$ref":"#/$defs/n","$defs":{"n":{"type":"number"}}})", "1", "\"1\"",
                "v must be of type number"},
       }) {
    EXPECT_EQ(FaultOf(c.schema, c.fits), "") << c.schema;
    const std::string fault = FaultOf(c.schema, c.not_fits);
    EXPECT_EQ(fault.substr(0, std::string(c.where).size()), c.where) << c.schema << ": " << fault;
  }
}

TEST(SchemaCheck, RefusesAtLoadingWhatItWouldNotCheck) {
  for (const char* schema : {R"({"uniqueItems":true})", R"({"properties":{"a":{"multipleOf":2}}})",
                             R"({"$ref":"#/$defs/none"})", R"({"format":"email"})",
                             R"({"items":{"if":{}}})", R"({"$ref":"other.json"})", "[]", "{"}) {
    EXPECT_FALSE(SchemaCheck::Load({{"main.json", schema}})) << schema;
  }
}

TEST(SchemaCheck, AKindIsToldByItsField) {
  const char* schema = R"({"oneOf":[{"$ref":"#/$defs/a"},{"$ref":"#/$defs/b"}],
    "discriminator":{"propertyName":"k","mapping":{"a":"#/$defs/a","b":"#/$defs/b"}},
    "$defs":{"a":{"required":["x"]},"b":{"required":["y"]}}})";
  EXPECT_EQ(FaultOf(schema, R"({"k":"a","x":1})"), "");
  EXPECT_EQ(FaultOf(schema, R"({"k":"b","x":1})"), "v.y is missing");
  EXPECT_EQ(FaultOf(schema, R"({"k":"c"})"), "v.k must name one of the kinds");
}

TEST(SchemaCheck, ReferencesReachTheOtherDocument) {
  const auto check = SchemaCheck::Load({{"main.json", R"({"$ref":"other.json#/$defs/n"})"},
                                        {"other.json", R"({"$defs":{"n":{"$ref":"#/$defs/m"},
                                                           "m":{"type":"number"}}})"}});
  ASSERT_TRUE(check) << check.error().message;
  EXPECT_FALSE(check->Check(1, check->main(), "v"));
  EXPECT_TRUE(check->Check("1", check->main(), "v"));
}

TEST(ParseJson, RefusesWhatIsNoSingleValueOrTooDeep) {
  EXPECT_FALSE(ParseJson("{} {}"));
  EXPECT_FALSE(ParseJson("\"\xff\""));
  EXPECT_FALSE(ParseJson(std::string(100, '[') + std::string(100, ']')));
  EXPECT_TRUE(ParseJson(std::string(20, '[') + std::string(20, ']')));
}

}  // namespace
}  // namespace ribwright::server
