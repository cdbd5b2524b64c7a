// SPDX-License-Identifier: Apache-2.0
#include "programme/terminal_table.h"

#include <gtest/gtest.h>

#include <sstream>

#include "programme/words.h"
#include "report/sample_reports.h"

namespace ribwright::programme {
namespace {

bool Has(const std::string& text, const std::string& part) {
  return text.find(part) != std::string::npos;
}

TEST(TerminalTable, FitsEightyColumns) {
  report::PhotoReport long_words = report::SampleRib();
  long_words.faces[0].signs[0].because =
      std::string(40, 'x') + " and then so many more words that it wraps";
  long_words.warnings.push_back({Code::kOutOfFocus, std::string("word ") + std::string(60, 'y')});
  for (const report::PhotoReport& r :
       {report::SampleRib(), report::SampleWithoutScale(), report::SampleError(), long_words}) {
    for (const bool explain : {false, true}) {
      for (const auto system : {units::System::kMetric, units::System::kUs}) {
        std::istringstream lines(TerminalTable(r, {system, explain}));
        for (std::string line; std::getline(lines, line);) {
          EXPECT_LE(ColumnsOf(line), 80U) << line;
        }
      }
    }
  }
}

TEST(TerminalTable, ShowsValueIntervalAndUnitAndSaysWhoGrades) {
  const std::string text = TerminalTable(report::SampleRib(), {});
  EXPECT_TRUE(Has(text, "eye (longissimus)                    7.8   7.2 to 8.5        % marbling"));
  EXPECT_TRUE(Has(text, "Official grades are given only by graders."));
  EXPECT_TRUE(Has(text, "choice 88 %"));
  EXPECT_TRUE(Has(text, "never proof"));
  EXPECT_TRUE(Has(text, "Cautions"));
  EXPECT_FALSE(Has(text, "by: "));
  EXPECT_TRUE(Has(TerminalTable(report::SampleRib(), {units::System::kMetric, true}),
                  "by: invented for tests"));
}

TEST(TerminalTable, UsCustomaryUnitsReplaceMetricLengths) {
  const std::string text = TerminalTable(report::SampleRib(), {units::System::kUs, false});
  EXPECT_TRUE(Has(text, "in²"));
  EXPECT_FALSE(Has(text, "cm²"));
}

TEST(TerminalTable, WhatIsNotKnownSaysWhy) {
  EXPECT_TRUE(Has(TerminalTable(report::SampleWithoutScale(), {}), "not known: no scale"));
  report::PhotoReport r = report::SampleRib();
  r.faces[0].marbling_degree = {"", {}, "no fat share is known"};
  EXPECT_TRUE(Has(TerminalTable(r, {}), "not known: no fat share is known"));
}

TEST(TerminalTable, AnErrorShowsWhatWhereAndMend) {
  const std::string text = TerminalTable(report::SampleError(), {});
  EXPECT_TRUE(Has(text, "The file is missing."));
  EXPECT_TRUE(Has(text, "Check the path."));
}

TEST(TerminalTable, OneLineForEachOfManyPhotos) {
  EXPECT_TRUE(Has(TerminalLine(report::SampleRib()), "eye marbling 7.8 % (7.2 to 8.5), modest"));
  EXPECT_TRUE(Has(TerminalLine(report::SampleError()), "cannot be judged: The file is missing."));
}

TEST(Words, ProbabilitiesNeverRoundToCertainty) {
  EXPECT_EQ(PercentWords(0.001), "<1 %");
  EXPECT_EQ(PercentWords(0.999), ">99 %");
  EXPECT_EQ(PercentWords(0.0), "0 %");
  EXPECT_EQ(PercentWords(1.0), "100 %");
  EXPECT_EQ(PercentWords(0.554), "55 %");
}

TEST(Words, StepsOfScalesAreSaidAsTheTradeSaysThem) {
  EXPECT_EQ(StepWords("slightly_abundant"), "slightly abundant");
  EXPECT_EQ(StepWords("choice-"), "low choice");
  EXPECT_EQ(StepWords("choice0"), "average choice");
  EXPECT_EQ(StepWords("prime+"), "high prime");
  EXPECT_EQ(StepWords("10"), "10");
  EXPECT_EQ(StepWords("A"), "A");
}

TEST(Words, ColumnsCountLettersNotBytes) {
  EXPECT_EQ(ColumnsOf("cm²"), 3U);
  EXPECT_EQ(Wrapped("one two three", 7, 2), "one two\n  three");
  EXPECT_EQ(Wrapped("prime 12 % of", 8, 0), "prime\n12 % of");
}

}  // namespace
}  // namespace ribwright::programme
