// SPDX-License-Identifier: Apache-2.0
#include "photo/card_values.h"

#include <gtest/gtest.h>

#include <fstream>
#include <sstream>
#include <string>

#include "photo/card_layout.h"

namespace ribwright::photo {
namespace {

std::string Whole() {
  std::string text = "patch,L,a,b\n";
  for (const CardPatch& p : CardPatches()) text += std::string(p.id) + ",50.5,-3,4.25\n";
  return text + "P,94.5,0.5,-2\n";
}

void Refuses(const std::string& text, const std::string& message_part, const std::string& where) {
  const auto values = ParseCardValues(text, "values.csv");
  ASSERT_FALSE(values.has_value()) << text;
  EXPECT_EQ(values.error().code, Code::kCardValuesUnusable);
  EXPECT_NE(values.error().message.find(message_part), std::string::npos) << values.error().message;
  EXPECT_EQ(values.error().where, where);
  EXPECT_FALSE(values.error().mend.empty());
}

std::string Replace(std::string text, const std::string& from, const std::string& to) {
  return text.replace(text.find(from), from.size(), to);
}

TEST(CardValues, ReadsEveryPatchAndPaperInAnyOrder) {
  const auto values = ParseCardValues(Whole(), "values.csv");
  ASSERT_TRUE(values.has_value());
  ASSERT_EQ(values->values.size(), CardPatches().size() + 1);
  EXPECT_EQ(values->values.front().patch, "A1");
  EXPECT_DOUBLE_EQ(values->values.front().lab.b, 4.25);
  EXPECT_EQ(values->values.back().patch, "P");
  EXPECT_DOUBLE_EQ(values->values.back().lab.L, 94.5);
  const auto swapped = ParseCardValues(
      Replace(Replace(Whole(), "A1,50.5,-3,4.25\n", ""), "P,", "A1,50.5,-3,4.25\nP,"), "v");
  ASSERT_TRUE(swapped.has_value());
  EXPECT_EQ(swapped->values.front().patch, "A1");
}

TEST(CardValues, ReadsTheExampleOfTheFormatPage) {
  std::ifstream in(std::string(RIBWRIGHT_SOURCE_DIR) + "/docs/format/card_values.md");
  std::stringstream page;
  page << in.rdbuf();
  const std::string text = page.str();
  const std::string opening = "```csv\n";
  const std::size_t from = text.find(opening);
  ASSERT_NE(from, std::string::npos);
  const std::size_t start = from + opening.size();
  const auto values = ParseCardValues(text.substr(start, text.find("```", start) - start), "page");
  ASSERT_TRUE(values.has_value()) << values.error().message;
  EXPECT_GE(static_cast<int>(values->values.size()), kLeastCardValues);
}

TEST(CardValues, RefusesWhatItCannotUseAndSaysWhere) {
  Refuses("", "", "values.csv");
  Refuses(Replace(Whole(), "patch,L", "patch,Y"), "columns", "values.csv, line 1");
  Refuses("patch,L,a,b,note\nA1,1,2,3,x\n", "columns", "values.csv, line 1");
  Refuses(Replace(Whole(), "A1,", "a1,"), "no patch \"a1\"", "values.csv, line 2, column patch");
  Refuses(Replace(Whole(), "B1,", "A1,"), "twice", "values.csv, line 3, column patch");
  Refuses(Replace(Whole(), "50.5", "101"), "\"101\"", "values.csv, line 2, column L");
  Refuses(Replace(Whole(), "50.5", "fifty"), "\"fifty\"", "values.csv, line 2, column L");
  Refuses(Replace(Whole(), "-3", "-129"), "\"-129\"", "values.csv, line 2, column a");
  Refuses(Replace(Whole(), "4.25", "nan"), "\"nan\"", "values.csv, line 2, column b");
  Refuses("patch,L,a,b\nA1,1,2,3\nA2,4,5,6\n", "too few", "values.csv");
  // Twelve colours without greys fix no neutral.
  std::string colours = "patch,L,a,b\n";
  for (const CardPatch& p : CardPatches()) {
    if (!p.neutral) colours += std::string(p.id) + ",50,1,2\n";
  }
  Refuses(colours, "too few", "values.csv");
  EXPECT_EQ(ReadCardValues("/nonexistent/values.csv").error().code, Code::kCardValuesUnusable);
}

}  // namespace
}  // namespace ribwright::photo
