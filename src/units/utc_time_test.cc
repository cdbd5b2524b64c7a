// SPDX-License-Identifier: Apache-2.0
#include "units/utc_time.h"

#include <gtest/gtest.h>

#include "math/rng.h"
#include "units/mass.h"

namespace ribwright::units {
namespace {

TEST(UtcTime, ReadsKnownMoments) {
  // The two billionth and the 1234567890th second are known from elsewhere.
  EXPECT_EQ(TimeFromText("2009-02-13T23:31:30Z")->ms, 1'234'567'890'000);
  EXPECT_EQ(TimeFromText("2033-05-18T03:33:20Z")->ms, 2'000'000'000'000);
  EXPECT_EQ(TimeFromText("2009-02-14T00:31:30.25+01:00")->ms, 1'234'567'890'250);
  EXPECT_EQ(TimeFromText("2024-02-29 00:00:00z")->ms, 1'709'164'800'000);
}

TEST(UtcTime, RefusesWhatIsNotOne) {
  for (const char* text :
       {"", "2026-03-01", "2026-03-01T12:00:00", "2026-02-29T00:00:00Z", "2026-13-01T00:00:00Z",
        "2026-03-01T24:00:00Z", "2026-03-01T12:60:00Z", "2026-03-01T12:00:60Z",
        "2026-03-01T12:00:00.Z", "2026-03-01T12:00:00Z ", "1969-12-31T23:59:59Z",
        "1970-01-01T00:00:00+01:00", "2026-03-01T12:00:00+1:00", "2026-03-01T12:00:00+24:00"}) {
    const auto time = TimeFromText(text);
    ASSERT_FALSE(time) << text;
    EXPECT_EQ(time.error().code, Code::kEntryUnusable);
  }
}

TEST(UtcTime, ComesBackFromItsText) {
  math::Rng rng(3);
  for (int i = 0; i < 2000; ++i) {
    const UtcTime time{static_cast<std::int64_t>(rng.Uniform(0.0, 253'402'300'799'999.0))};
    EXPECT_EQ(*TimeFromText(TimeText(time)), time);
  }
  EXPECT_EQ(TimeText({1'234'567'890'000}), "2009-02-13T23:31:30Z");
}

TEST(Day, KnowsLeapYears) {
  EXPECT_EQ(DayText(*DayFromText("2024-02-29")), "2024-02-29");
  EXPECT_FALSE(DayFromText("2023-02-29"));
  EXPECT_FALSE(DayFromText("2100-02-29"));
  EXPECT_TRUE(DayFromText("2000-02-29"));
}

TEST(Mass, ShowsEveryDigitOfItsMilligrams) {
  EXPECT_EQ(GramsText(Mass::FromGrams(1234)), "1234 g");
  EXPECT_EQ(GramsText(Mass::FromGrams(0.5)), "0.5 g");
  EXPECT_EQ(GramsText(Mass::FromGrams(-12.25)), "-12.25 g");
  EXPECT_EQ(GramsText(Mass::FromMilligrams(-1)), "-0.001 g");
  EXPECT_EQ(Mass::FromGrams(kGramsPerPound), Mass::FromMilligrams(453'592));
  EXPECT_THROW(Mass::FromGrams(std::nan("")), LogicError);
}

}  // namespace
}  // namespace ribwright::units
