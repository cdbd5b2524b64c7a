// SPDX-License-Identifier: Apache-2.0
#include "photo/exif.h"

#include <gtest/gtest.h>

#include "base/check.h"

namespace ribwright::photo {
namespace {

TEST(Exif, FactsWrittenAreReadBackWithAndWithoutTheMark) {
  const auto block = WriteExif({6, 5.43, 26.4});
  EXPECT_EQ(block, WriteExif({6, 5.43, 26.4}));
  for (const std::size_t skip : {std::size_t{0}, std::size_t{6}}) {
    const ExifFacts facts = ReadExif(std::span(block).subspan(skip));
    EXPECT_EQ(facts.orientation, 6);
    EXPECT_DOUBLE_EQ(facts.focal_length_mm.value(), 5.43);
    EXPECT_DOUBLE_EQ(facts.focal_length_35mm.value(), 26.0);
  }
}

TEST(Exif, AbsentFactsStayAbsent) {
  const ExifFacts facts = ReadExif(WriteExif({}));
  EXPECT_EQ(facts.orientation, 1);
  EXPECT_FALSE(facts.focal_length_mm.has_value());
  EXPECT_FALSE(facts.focal_length_35mm.has_value());
}

TEST(Exif, ABlockCutAnywhereGivesFactsInRangeOrNone) {
  const auto block = WriteExif({8, 4.2, 24.0});
  for (std::size_t size = 0; size < block.size(); ++size) {
    const ExifFacts facts = ReadExif(std::span(block).first(size));
    EXPECT_GE(facts.orientation, 1);
    EXPECT_LE(facts.orientation, 8);
    EXPECT_TRUE(!facts.focal_length_mm || *facts.focal_length_mm > 0.0);
  }
}

TEST(Exif, WritingRefusesWhatTheTagsCannotHold) {
  EXPECT_THROW(WriteExif({9, {}, {}}), LogicError);
  EXPECT_THROW(WriteExif({1, -1.0, {}}), LogicError);
}

}  // namespace
}  // namespace ribwright::photo
