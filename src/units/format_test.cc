// SPDX-License-Identifier: Apache-2.0
#include "units/format.h"

#include <gtest/gtest.h>

namespace ribwright::units {
namespace {

TEST(Format, DigitsFollowTheDoubt) {
  EXPECT_EQ(DecimalsFor(12.34, 12.18, 12.50), 2);  // half width 0.16
  EXPECT_EQ(DecimalsFor(12.34, 11.9, 12.7), 1);    // 0.4
  EXPECT_EQ(DecimalsFor(12.34, 9.0, 15.0), 0);     // 3
  EXPECT_EQ(DecimalsFor(12.34, 11.0, 14.0), 1);    // 1.5
  EXPECT_EQ(DecimalsFor(900.0, 600.0, 1200.0), 0);
  EXPECT_EQ(DecimalsFor(0.5, 0.4999999, 0.5000001), 4);
}

TEST(Format, AnExactNumberShowsFourSignificantDigits) {
  EXPECT_EQ(Show(Measured::Exact(12.3456, "%"), System::kMetric).value, "12.35");
  EXPECT_EQ(Show(Measured::Exact(0.0, "%"), System::kMetric).value, "0");
}

TEST(Format, AMinusSignIsTrueAndNeverStandsOnZero) {
  EXPECT_EQ(Fixed(-0.04, 1), "0.0");
  EXPECT_EQ(Fixed(-2.25, 1), "\u22122.2");
  EXPECT_EQ(Fixed(1e300, 0).size(), 301U);
}

TEST(Format, AnInchIs25Point4MmAndItsSquareFollows) {
  const Measured length = InSystem(Measured::Of(50.8, 25.4, 76.2, "mm", "t"), System::kUs);
  EXPECT_DOUBLE_EQ(*length.value, 2.0);
  EXPECT_DOUBLE_EQ(length.low, 1.0);
  EXPECT_DOUBLE_EQ(length.high, 3.0);
  EXPECT_EQ(length.unit, "in");
  const Measured area = InSystem(Measured::Exact(64.516, "cm2"), System::kUs);
  EXPECT_DOUBLE_EQ(*area.value, 10.0);
  EXPECT_EQ(area.unit, "in2");
  EXPECT_DOUBLE_EQ(*InSystem(Measured::Exact(10, "1/cm2"), System::kUs).value, 64.516);
  EXPECT_DOUBLE_EQ(*InSystem(Measured::Exact(10, "px/mm"), System::kUs).value, 254.0);
}

TEST(Format, SharesAndColourKeepTheirUnit) {
  EXPECT_EQ(InSystem(Measured::Exact(10, "%"), System::kUs).unit, "%");
  EXPECT_EQ(InSystem(Measured::Exact(1, "mm2"), System::kMetric).unit, "mm2");
}

TEST(Format, FlecksAreThousandthsOfAnInchSquaredAndLengthsEndAtAHundredth) {
  EXPECT_DOUBLE_EQ(*InSystem(Measured::Exact(645.16, "mm2"), System::kUs).value, 1000.0);
  const Shown cover = Show(Measured::Of(5.3, 5.2, 5.4, "mm", "t"), System::kUs);
  EXPECT_EQ(cover.value, "0.21");
  EXPECT_EQ(cover.unit, "in");
}

TEST(Format, ASentenceCarriesUnitAndIntervalOrTheReason) {
  EXPECT_EQ(Sentence(Measured::Of(12.34, 11.9, 12.7, "%", "t"), System::kMetric),
            "12.3 % (11.9 to 12.7)");
  EXPECT_EQ(Sentence(Measured::Of(80.0, 78.0, 82.0, "cm2", "t"), System::kUs),
            "12.4 in\u00b2 (12.1 to 12.7)");
  EXPECT_EQ(Sentence(Measured::Unknown("mm", "no scale"), System::kMetric), "not known: no scale");
  EXPECT_EQ(Sentence(Measured::Exact(3.0, "1/cm2"), System::kMetric), "3.000 per cm\u00b2");
}

}  // namespace
}  // namespace ribwright::units
