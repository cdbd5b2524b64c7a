// SPDX-License-Identifier: Apache-2.0
#include "base/codes.h"

#include <gtest/gtest.h>

#include <set>

namespace ribwright {
namespace {

TEST(Codes, TextsAreUniqueAndReadBackToTheirCode) {
  std::set<std::string_view> seen;
  for (const CodeEntry& entry : CodeTable()) {
    EXPECT_TRUE(seen.insert(entry.text).second) << entry.text;
    EXPECT_EQ(CodeFromText(entry.text), entry.code);
    EXPECT_EQ(CodeText(entry.code), entry.text);
    EXPECT_EQ(KindOf(entry.code), entry.kind);
    EXPECT_EQ(entry.meaning.back(), '.') << entry.text;
  }
}

TEST(Codes, AnUnknownTextHasNoCode) { EXPECT_FALSE(CodeFromText("no_such_code").has_value()); }

}  // namespace
}  // namespace ribwright
