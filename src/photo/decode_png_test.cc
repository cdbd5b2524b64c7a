// SPDX-License-Identifier: Apache-2.0
// PNG's own variants through the photo door.
#include <gtest/gtest.h>

#include "photo/decode.h"
#include "photo/exif.h"
#include "photo/sample_pictures_test.h"
#include "photo/srgb.h"
#include "photo/test_png.h"

namespace ribwright::photo {
namespace {

using testing::Bytes;
using testing::TestPng;
using testing::WriteTestPng;

cv::Vec3b At(const Photo& photo, int x, int y) { return photo.rgb.at<cv::Vec3b>(y, x); }

bool Warned(const Photo& photo, Code code) {
  for (const auto& warning : photo.warnings) {
    if (warning.code == code) return true;
  }
  return false;
}

TEST(DecodePng, SixteenBitsAreRoundedNotCut) {
  // 0x7FFF is 127.4996 of 255, 0x0080 is 0.498, 0x0081 is 0.502.
  const auto photo = DecodePhoto(WriteTestPng({.width = 2,
                                               .height = 1,
                                               .depth = 16,
                                               .rows = {0x7F, 0xFF, 0x00, 0x80, 0x00, 0x81, 0xFF,
                                                        0xFF, 0xFF, 0x7E, 0xFF, 0x80}}),
                                 "a.png");
  ASSERT_TRUE(photo.has_value()) << photo.error().message;
  EXPECT_EQ(At(*photo, 0, 0), cv::Vec3b(127, 0, 1));
  EXPECT_EQ(At(*photo, 1, 0), cv::Vec3b(255, 254, 255));
}

TEST(DecodePng, PaletteAndOneBitGreyBecomeRgb) {
  const auto palette = DecodePhoto(
      WriteTestPng({.width = 4,
                    .height = 1,
                    .depth = 2,
                    .colour_type = PNG_COLOR_TYPE_PALETTE,
                    .rows = {0b00'01'10'00},
                    .set_up =
                        [](png_structp png, png_infop info) {
                          const png_color colours[3] = {{10, 20, 30}, {200, 0, 7}, {1, 2, 3}};
                          png_set_PLTE(png, info, colours, 3);
                        }}),
      "p.png");
  ASSERT_TRUE(palette.has_value()) << palette.error().message;
  EXPECT_EQ(At(*palette, 0, 0), cv::Vec3b(10, 20, 30));
  EXPECT_EQ(At(*palette, 1, 0), cv::Vec3b(200, 0, 7));
  EXPECT_EQ(At(*palette, 2, 0), cv::Vec3b(1, 2, 3));

  const auto bits = DecodePhoto(WriteTestPng({.width = 8,
                                              .height = 1,
                                              .depth = 1,
                                              .colour_type = PNG_COLOR_TYPE_GRAY,
                                              .rows = {0b1000'0001}}),
                                "b.png");
  ASSERT_TRUE(bits.has_value()) << bits.error().message;
  EXPECT_EQ(At(*bits, 0, 0), cv::Vec3b(255, 255, 255));
  EXPECT_EQ(At(*bits, 1, 0), cv::Vec3b(0, 0, 0));
}

TEST(DecodePng, SeeThroughPartsAreLaidOnWhiteAndSaid) {
  const TestPng picture = {.width = 3,
                           .height = 1,
                           .colour_type = PNG_COLOR_TYPE_RGB_ALPHA,
                           .rows = {100, 0, 0, 255, 100, 0, 0, 0, 100, 0, 0, 51}};
  const auto photo = DecodePhoto(WriteTestPng(picture), "a.png");
  ASSERT_TRUE(photo.has_value()) << photo.error().message;
  EXPECT_EQ(At(*photo, 0, 0), cv::Vec3b(100, 0, 0));
  EXPECT_EQ(At(*photo, 1, 0), cv::Vec3b(255, 255, 255));
  EXPECT_EQ(At(*photo, 2, 0), cv::Vec3b(224, 204, 204));  // 0.2 * c + 0.8 * 255
  EXPECT_TRUE(Warned(*photo, Code::kPhotoTransparent));

  TestPng opaque = picture;
  opaque.rows[7] = opaque.rows[11] = 255;
  EXPECT_FALSE(Warned(DecodePhoto(WriteTestPng(opaque), "a.png").value(), Code::kPhotoTransparent));
}

TEST(DecodePng, InterlacedPicturesComeBackExactly) {
  const cv::Mat rgb = testing::Waves(37, 23);
  const auto photo = DecodePhoto(WriteTestPng({.width = 37,
                                               .height = 23,
                                               .interlaced = true,
                                               .rows = Bytes(rgb.datastart, rgb.dataend)}),
                                 "i.png");
  ASSERT_TRUE(photo.has_value());
  EXPECT_EQ(testing::LargestDifference(photo->rgb, rgb), 0.0);
}

TEST(DecodePng, ExifTurnsThePictureUpright) {
  const Bytes marked = WriteExif({6, 4.5, {}});
  const Bytes exif(marked.begin() + 6, marked.end());  // eXIf holds no "Exif\0\0"
  const auto photo = DecodePhoto(
      WriteTestPng(
          {.width = 2, .height = 1, .rows = {255, 0, 0, 0, 0, 255}, .chunks = {{"eXIf", exif}}}),
      "e.png");
  ASSERT_TRUE(photo.has_value()) << photo.error().message;
  ASSERT_EQ(photo->rgb.size(), cv::Size(1, 2));
  EXPECT_EQ(At(*photo, 0, 0), cv::Vec3b(255, 0, 0));
  EXPECT_EQ(At(*photo, 0, 1), cv::Vec3b(0, 0, 255));
  EXPECT_DOUBLE_EQ(photo->focal_length_mm.value(), 4.5);
}

TEST(DecodePng, AnimationsAreRefused) {
  const auto photo = DecodePhoto(WriteTestPng({.width = 1,
                                               .height = 1,
                                               .rows = {1, 2, 3},
                                               .chunks = {{"acTL", {0, 0, 0, 2, 0, 0, 0, 0}}}}),
                                 "a.png");
  ASSERT_FALSE(photo.has_value());
  EXPECT_EQ(photo.error().code, Code::kPhotoAnimated);
}

TEST(DecodePng, GammaWithoutAProfileIsObeyed) {
  // Linear light 0.2140 is sRGB code 127 or 128.
  const auto photo = DecodePhoto(
      WriteTestPng(
          {.width = 1,
           .height = 1,
           .depth = 16,
           .rows = {0x36, 0xC8, 0x36, 0xC8, 0x36, 0xC8},
           .set_up = [](png_structp png, png_infop info) { png_set_gAMA(png, info, 1.0); }}),
      "g.png");
  ASSERT_TRUE(photo.has_value()) << photo.error().message;
  const double want = 255.0 * SrgbFromLinear(0x36C8 / 65535.0);
  for (int i = 0; i < 3; ++i) EXPECT_NEAR(At(*photo, 0, 0)[i], want, 1.0);
  EXPECT_TRUE(photo->profile_applied);
}

TEST(DecodePng, PixelsThatEndInsideAWholeFileAreTruncated) {
  // Two rows announced; the deflate stream holds one.
  Bytes png = WriteTestPng({.width = 1, .height = 1, .rows = {1, 2, 3}});
  // Height and the header's checksum of a 1 x 2 picture, taken from one that is.
  const Bytes taller = WriteTestPng({.width = 1, .height = 2, .rows = {1, 2, 3, 4, 5, 6}});
  std::copy_n(taller.begin(), 33, png.begin());
  const auto photo = DecodePhoto(png, "s.png");
  ASSERT_FALSE(photo.has_value());
  EXPECT_EQ(photo.error().code, Code::kPhotoTruncated) << photo.error().message;
}

}  // namespace
}  // namespace ribwright::photo
