// SPDX-License-Identifier: Apache-2.0
// JPEG's own variants through the photo door.
#include <gtest/gtest.h>

#include <cstdio>
#include <cstdlib>
// clang-format off
#include <jpeglib.h>
// clang-format on

#include "photo/decode.h"
#include "photo/encode.h"
#include "photo/sample_pictures_test.h"

namespace ribwright::photo {
namespace {

using Bytes = std::vector<std::uint8_t>;

// Any colour space, one pass or several; libjpeg's own error handler ends the program on a fault.
Bytes WriteJpeg(const cv::Mat& picture, J_COLOR_SPACE in, J_COLOR_SPACE stored, bool progressive) {
  jpeg_compress_struct info{};
  jpeg_error_mgr errors{};
  info.err = jpeg_std_error(&errors);
  jpeg_create_compress(&info);
  unsigned char* out = nullptr;
  unsigned long size = 0;
  jpeg_mem_dest(&info, &out, &size);
  info.image_width = static_cast<JDIMENSION>(picture.cols);
  info.image_height = static_cast<JDIMENSION>(picture.rows);
  info.input_components = picture.channels();
  info.in_color_space = in;
  jpeg_set_defaults(&info);
  jpeg_set_colorspace(&info, stored);
  if (progressive) jpeg_simple_progression(&info);
  jpeg_start_compress(&info, TRUE);
  while (info.next_scanline < info.image_height) {
    auto* row = const_cast<JSAMPLE*>(picture.ptr(static_cast<int>(info.next_scanline)));
    jpeg_write_scanlines(&info, &row, 1);
  }
  jpeg_finish_compress(&info);
  Bytes bytes(out, out + size);
  jpeg_destroy_compress(&info);
  std::free(out);
  return bytes;
}

TEST(DecodeJpeg, InksAreRefusedBothWaysTheyAreStored) {
  const cv::Mat inks(32, 48, CV_8UC4, cv::Scalar(10, 80, 60, 20));
  for (const J_COLOR_SPACE stored : {JCS_CMYK, JCS_YCCK}) {
    const auto photo = DecodePhoto(WriteJpeg(inks, JCS_CMYK, stored, false), "c.jpg");
    ASSERT_FALSE(photo.has_value());
    EXPECT_EQ(photo.error().code, Code::kPhotoCmyk);
  }
}

TEST(DecodeJpeg, GreyBecomesRgb) {
  const cv::Mat grey(32, 48, CV_8UC1, cv::Scalar(140));
  const auto photo = DecodePhoto(WriteJpeg(grey, JCS_GRAYSCALE, JCS_GRAYSCALE, false), "g.jpg");
  ASSERT_TRUE(photo.has_value()) << photo.error().message;
  EXPECT_EQ(photo->rgb.at<cv::Vec3b>(10, 10), cv::Vec3b(140, 140, 140));
}

TEST(DecodeJpeg, AProgressivePictureIsReadWholeAndRefusedCut) {
  const cv::Mat rgb = testing::Waves(160, 120);
  const Bytes whole = WriteJpeg(rgb, JCS_RGB, JCS_YCbCr, true);
  const auto photo = DecodePhoto(whole, "p.jpg");
  ASSERT_TRUE(photo.has_value());
  EXPECT_LT(testing::MeanDifference(photo->rgb, rgb), 5.0);
  for (std::size_t size = 3; size < whole.size(); size += 19) {
    const auto cut = DecodePhoto(std::span(whole).first(size), "p.jpg");
    ASSERT_FALSE(cut.has_value()) << size;
    EXPECT_EQ(cut.error().code, Code::kPhotoTruncated) << size;
  }
}

TEST(DecodeJpeg, TwelveBitSamplesAreSaidToBeUnsupported) {
  Bytes jpeg = EncodeJpeg(testing::Waves(32, 32)).value();
  for (std::size_t i = 0; i + 4 < jpeg.size(); ++i) {
    if (jpeg[i] == 0xFF && jpeg[i + 1] == 0xC0) {
      jpeg[i + 4] = 12;
      break;
    }
  }
  const auto photo = DecodePhoto(jpeg, "t.jpg");
  ASSERT_FALSE(photo.has_value());
  EXPECT_EQ(photo.error().code, Code::kPhotoUnsupported);
}

TEST(DecodeJpeg, DamageIsRefusedWhereverTheCodeShowsIt) {
  const Bytes whole = EncodeJpeg(testing::Waves(160, 120)).value();
  int refused = 0;
  for (int i = 0; i < 20; ++i) {
    Bytes damaged = whole;
    // A run of ones is no Huffman code of the standard tables.
    const auto at = static_cast<std::ptrdiff_t>(whole.size() / 2) + 17 * i;
    std::fill_n(damaged.begin() + at, 12, std::uint8_t{0xFE});
    const auto photo = DecodePhoto(damaged, "d.jpg");
    if (!photo) {
      ++refused;
      EXPECT_TRUE(photo.error().code == Code::kPhotoCorrupt ||
                  photo.error().code == Code::kPhotoTruncated);
    }
  }
  // A JPEG carries no checksum: some damage decodes to wrong pixels without any sign
  // (docs/format/photos.md).
  EXPECT_GE(refused, 10);
}

TEST(DecodeJpeg, BytesAfterTheEndMarkAreNoFault) {
  Bytes jpeg = EncodeJpeg(testing::Waves(64, 48)).value();
  jpeg.insert(jpeg.end(), 5000, 0x41);  // phones append video and depth there
  EXPECT_TRUE(DecodePhoto(jpeg, "m.jpg").has_value());
}

}  // namespace
}  // namespace ribwright::photo
