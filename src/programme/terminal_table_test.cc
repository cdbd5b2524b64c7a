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
  EXPECT_FALSE(Has(text, "mm"));
  EXPECT_TRUE(Has(text, "1/1000 in²"));
  EXPECT_TRUE(Has(text, "flecks from 0.00016 in²"));
  EXPECT_TRUE(Has(text, "spread over 0.39 in"));
  EXPECT_TRUE(Has(text, "cover, mean                         0.36   0.34 to 0.38"));
}

TEST(TerminalTable, MissingScaleIsSaidOnceAndItsRowsAreLeftOut) {
  const std::string text = TerminalTable(report::SampleWithoutScale(), {});
  EXPECT_TRUE(Has(text, "  no scale: no lengths or areas\n"));
  EXPECT_EQ(text.find("no scale"), text.rfind("no scale"));
  EXPECT_FALSE(Has(text, "cover"));
  EXPECT_TRUE(Has(text, "eye (longissimus)"));
  report::PhotoReport r = report::SampleWithoutScale();
  r.scale.px_per_mm.reason = "no card was found";
  EXPECT_TRUE(Has(TerminalTable(r, {}), "no scale: no lengths or areas (no card was found)"));
}

TEST(TerminalTable, SaysThatItJudgesLooksNotSafety) {
  EXPECT_TRUE(Has(TerminalTable(report::SampleRib(), {}), "It judges looks, not safety.\n"));
}

TEST(TerminalTable, SignsThatAreNotJudgedSayWhyAndFeedIsOneLine) {
  report::PhotoReport r = report::SampleRib();
  report::Face& face = r.faces[0];
  face.signs = {{report::SignOf::kGrainFed, 0.81, "the fat is white"},
                {report::SignOf::kGrassFed, 0.19, "the fat is white"}};
  const std::string both = TerminalTable(r, {});
  EXPECT_TRUE(Has(both, "  grain-fed 81 %, grass-fed 19 %\n"));
  EXPECT_EQ(both.find("the fat is white"), both.rfind("the fat is white"));
  face.signs.clear();
  face.signs_reason = "colour is not calibrated";
  EXPECT_TRUE(Has(TerminalTable(r, {}), "  not judged: colour is not calibrated\n"));
}

TEST(TerminalTable, AReasonThatAllScalesShareIsSaidOnce) {
  report::PhotoReport r = report::SampleRib();
  report::Face& face = r.faces[0];
  const std::string why = "the meat does not look like raw beef";
  face.marbling_degree = {"", {}, why};
  for (auto& [key, odds] : face.grade_odds) odds = {"", {}, why};
  face.rib_position = {"", {}, why};
  face.imf_pct = Measured::Unknown("%", why);
  const std::string text = TerminalTable(r, {});
  EXPECT_TRUE(Has(text, "  not judged: the meat does not look like raw beef\n"));
  EXPECT_EQ(text.find(why), text.rfind(why));
  face.marbling_degree.basis = "another";
  EXPECT_FALSE(Has(TerminalTable(r, {}), "not judged: the meat"));
}

TEST(TerminalTable, JapaneseRowsThatSayTheSameAreOne) {
  report::PhotoReport r = report::SampleRib();
  report::Face& face = r.faces[0];
  face.grade_odds["japan_bms"] = {"1", {{"1", 0.7}, {"2", 0.28}, {"3", 0.02}}, "t"};
  face.grade_odds["japan"] = {"1", {{"1", 0.7}, {"2", 0.28}, {"3", 0.02}}, "t"};
  const std::string alike = TerminalTable(r, {});
  EXPECT_TRUE(Has(alike, "Japanese marbling number"));
  EXPECT_FALSE(Has(alike, "Japanese quality grade"));
  EXPECT_TRUE(Has(alike, "much richer cattle"));
  face.grade_odds["japan_bms"] = {"4", {{"3", 0.3}, {"4", 0.4}, {"5", 0.3}}, "t"};
  face.grade_odds["japan"] = {"3", {{"3", 0.7}, {"4", 0.3}}, "t"};
  const std::string apart = TerminalTable(r, {});
  EXPECT_TRUE(Has(apart, "Japanese marbling number"));
  EXPECT_TRUE(Has(apart, "Japanese quality grade"));
}

TEST(TerminalTable, WhatIsNotKnownSaysWhy) {
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
  EXPECT_EQ(PercentWords(0.996), ">99 %");
  EXPECT_EQ(PercentWords(0.0), "<1 %");
  EXPECT_EQ(PercentWords(1.0), ">99 %");
  EXPECT_EQ(PercentWords(0.554), "55 %");
}

TEST(Words, TextureFollowsTheIntervalOfCoarseness) {
  const auto of = [](double value, double low, double high) {
    return TextureWords(Measured::Of(value, low, high, "%", "t"));
  };
  EXPECT_EQ(of(5, 2, 9), "fine");
  EXPECT_EQ(of(15, 15, 39), "medium");
  EXPECT_EQ(of(60, 40, 70), "coarse");
  EXPECT_EQ(of(14, 10, 16), "fine to medium");
  EXPECT_EQ(of(38, 33, 44), "medium to coarse");
  EXPECT_EQ(TextureWords(Measured::Unknown("%", "no fleck")), "");
}

TEST(Words, LengthsInSentencesFollowTheUnits) {
  const std::string text = "25 mm is assumed, give or take 12 mm; --thickness-mm; 0.1 mm2; 3 mm-";
  EXPECT_EQ(LengthsIn(text, units::System::kMetric),
            "25 mm is assumed, give or take 12 mm; --thickness-mm; 0.1 mm²; 3 mm-");
  EXPECT_EQ(LengthsIn(text, units::System::kUs),
            "0.98 in is assumed, give or take 0.47 in; --thickness-mm; 0.00016 in²; 3 mm-");
  EXPECT_EQ(LengthsIn("fewer than three 10 mm tiles lie inside", units::System::kUs),
            "fewer than three 0.39 in tiles lie inside");
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
