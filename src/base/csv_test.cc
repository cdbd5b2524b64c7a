// SPDX-License-Identifier: Apache-2.0
#include "base/csv.h"

#include <gtest/gtest.h>

namespace ribwright {
namespace {

using namespace std::string_view_literals;

TEST(Csv, ReadsQuotesLineBreaksAndEmptyFieldsAsWritten) {
  const auto table = CsvTable::Parse(
      "\xEF\xBB\xBFid,text,n\r\na,\"one, \"\"two\"\"\nthree\",1.5\r\nb,, \n"sv, "t.csv");
  ASSERT_TRUE(table.has_value()) << table.error().message;
  ASSERT_EQ(table->rows(), 2U);
  EXPECT_EQ(table->Cell(0, 1), "one, \"two\"\nthree");
  EXPECT_EQ(table->Number(0, 2).value(), 1.5);
  EXPECT_EQ(table->Cell(1, 1), "");
  EXPECT_EQ(table->Cell(1, 2), " ");
  EXPECT_EQ(table->Where(1, 2), "t.csv, line 4, column n");
  EXPECT_FALSE(table->Number(1, 2).has_value());
  EXPECT_EQ(table->Column("text"), 1U);
  EXPECT_FALSE(table->Column("Text").has_value());
  EXPECT_EQ(table->RequiredColumn("x").error().code, Code::kDataUnusable);
}

TEST(Csv, RefusesEachFaultAndSaysWhichLine) {
  const struct {
    std::string_view text;
    std::string_view where;
    std::string_view word;
  } faults[] = {
      {"", "t", "empty"},
      {"a,b\n1\n", "t, line 2", "fields"},
      {"a,b\n1,2\n1,2,3\n", "t, line 3", "fields"},
      {"a,b\n1,2\n\n", "t, line 3", "fields"},
      {"a,b\n1,x\"y\"\n", "t, line 2", "quote stands inside"},
      {"a,b\n\"1\"x,2\n", "t, line 2", "follows"},
      {"a,b\n1,\"2\n", "t, line 3", "never closed"},
      {"a,b\r1,2\n", "t, line 1", "carriage"},
      {"a,b\n1,\0\n"sv, "t, line 2", "NUL"},
      {"a,a\n1,2\n", "t, line 1", "Two columns"},
      {"a,\n1,2\n", "t, line 1", "no name"},
  };
  for (const auto& fault : faults) {
    const auto table = CsvTable::Parse(fault.text, "t");
    ASSERT_FALSE(table.has_value()) << fault.text;
    EXPECT_EQ(table.error().code, Code::kDataUnusable);
    EXPECT_EQ(table.error().where, fault.where) << fault.text;
    EXPECT_NE(table.error().message.find(fault.word), std::string::npos) << table.error().message;
  }
}

TEST(Csv, ANumberIsTheWholeCellAndFinite) {
  EXPECT_EQ(NumberFromText("-1e-3"), -1e-3);
  for (const auto text : {"", " 1", "1 ", "1,5", "nan", "inf", "1e999", "0x10", "1;"}) {
    EXPECT_FALSE(NumberFromText(text).has_value()) << text;
  }
}

}  // namespace
}  // namespace ribwright
