// SPDX-License-Identifier: Apache-2.0
#include "photo/exif.h"

#include <gtest/gtest.h>

#include <string>

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

// A big-endian block of two text tags in the EXIF directory (EXIF 2.32, tables 4 and 8).
std::vector<std::uint8_t> BlockTaken(const std::string& when, const std::string& offset) {
  std::vector<std::uint8_t> b = {'E', 'x', 'i', 'f', 0, 0, 'M', 'M', 0, 42, 0, 0, 0, 8};
  const auto put = [&](std::uint32_t value, int bytes) {
    for (int i = bytes - 1; i >= 0; --i) {
      b.push_back(static_cast<std::uint8_t>((value >> (8 * i)) & 0xFFU));
    }
  };
  const auto entry = [&](std::uint32_t tag, std::uint32_t type, std::size_t count, std::size_t at) {
    put(tag, 2);
    put(type, 2);
    put(static_cast<std::uint32_t>(count), 4);
    put(static_cast<std::uint32_t>(at), 4);
  };
  put(1, 2);
  entry(0x8769, 4, 1, 26);  // the EXIF directory stands behind this one
  put(0, 4);
  put(2, 2);
  const std::size_t texts = 26 + 2 + 2 * 12 + 4;
  entry(0x9003, 2, when.size() + 1, texts);
  entry(0x9011, 2, offset.size() + 1, texts + when.size() + 1);
  put(0, 4);
  for (const std::string& text : {when, offset}) {
    b.insert(b.end(), text.begin(), text.end());
    b.push_back(0);
  }
  return b;
}

TEST(Exif, WhenThePhotoWasTakenIsReadAndInUtcWhereTheOffsetIsStated) {
  EXPECT_EQ(ReadExif(BlockTaken("2026:03:01 12:00:05", "+01:00")).taken, "2026-03-01T11:00:05Z");
  EXPECT_EQ(ReadExif(BlockTaken("2026:03:01 12:00:05", "   :  ")).taken, "2026-03-01T12:00:05");
  EXPECT_EQ(ReadExif(BlockTaken("2026:02:30 12:00:05", "+01:00")).taken, "");
  EXPECT_EQ(ReadExif(BlockTaken("    :  :     :  :  ", "+01:00")).taken, "");
  EXPECT_EQ(ReadExif(WriteExif({6, 5.43, 26.4})).taken, "");
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
