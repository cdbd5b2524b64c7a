// SPDX-License-Identifier: Apache-2.0
#include "photo/decode.h"

#include <gtest/gtest.h>

#include "base/files.h"
#include "photo/encode.h"
#include "photo/exif.h"
#include "photo/sample_pictures_test.h"

namespace ribwright::photo {
namespace {

using testing::LargestDifference;
using testing::MeanDifference;
using testing::Waves;
using Bytes = std::vector<std::uint8_t>;

Bytes Png(const cv::Mat& picture) { return EncodePng(picture).value(); }
Bytes Jpeg(const cv::Mat& rgb, const JpegOptions& options = {}) {
  return EncodeJpeg(rgb, options).value();
}
Bytes FromText(std::string_view text) { return {text.begin(), text.end()}; }

Code CodeOf(std::span<const std::uint8_t> bytes) {
  const auto photo = DecodePhoto(bytes, "a.jpg");
  if (photo) return Code::kInternal;
  EXPECT_EQ(photo.error().where, "a.jpg");
  EXPECT_EQ(photo.error().message.back(), '.');
  EXPECT_EQ(photo.error().mend.back(), '.');
  return photo.error().code;
}

TEST(Decode, PngComesBackExactlyInColourAndGrey) {
  const cv::Mat rgb = Waves(67, 45);
  const auto photo = DecodePhoto(Png(rgb), "a.png");
  ASSERT_TRUE(photo.has_value()) << photo.error().message;
  EXPECT_EQ(photo->format, PhotoFormat::kPng);
  EXPECT_EQ(photo->orientation, 1);
  EXPECT_TRUE(photo->warnings.empty());
  EXPECT_EQ(LargestDifference(photo->rgb, rgb), 0.0);

  cv::Mat grey;
  cv::extractChannel(rgb, grey, 1);
  const auto from_grey = DecodePhoto(Png(grey), "g.png");
  ASSERT_TRUE(from_grey.has_value());
  cv::Mat spread;
  cv::merge(std::vector<cv::Mat>{grey, grey, grey}, spread);
  EXPECT_EQ(LargestDifference(from_grey->rgb, spread), 0.0);
}

TEST(Decode, JpegComesBackCloseWithItsFocalLengths) {
  const cv::Mat rgb = Waves(320, 240);
  JpegOptions options;
  options.quality = 95;
  options.chroma = ChromaGrid::kFull;
  options.exif = WriteExif({1, 5.7, 26.0});
  const auto photo = DecodePhoto(Jpeg(rgb, options), "a.jpg");
  ASSERT_TRUE(photo.has_value()) << photo.error().message;
  EXPECT_EQ(photo->format, PhotoFormat::kJpeg);
  EXPECT_LT(MeanDifference(photo->rgb, rgb), 2.0);
  EXPECT_DOUBLE_EQ(photo->focal_length_mm.value(), 5.7);
  EXPECT_DOUBLE_EQ(photo->focal_length_35mm.value(), 26.0);
}

TEST(Decode, TheFormatIsToldByContentNotByName) {
  const auto photo = DecodePhoto(Png(Waves(16, 16)), "really.jpg");
  ASSERT_TRUE(photo.has_value());
  EXPECT_EQ(photo->format, PhotoFormat::kPng);
}

TEST(Decode, AJpegCutAnywhereIsTruncatedAndNeverGreyFill) {
  const Bytes whole = Jpeg(Waves(160, 120));
  ASSERT_EQ(CodeOf(whole), Code::kInternal);
  for (std::size_t size = 3; size < whole.size(); size += 7) {
    EXPECT_EQ(CodeOf(std::span(whole).first(size)), Code::kPhotoTruncated) << size;
  }
  EXPECT_EQ(CodeOf(std::span(whole).first(whole.size() - 1)), Code::kPhotoTruncated);
  EXPECT_EQ(CodeOf(std::span(whole).first(whole.size() - 2)), Code::kPhotoTruncated);
}

TEST(Decode, AJpegWhosePixelsStopBeforeAnEndMarkIsTruncated) {
  Bytes cut = Jpeg(Waves(160, 120));
  cut.resize(cut.size() * 2 / 3);
  cut.insert(cut.end(), {0xFF, 0xD9});
  EXPECT_EQ(CodeOf(cut), Code::kPhotoTruncated);
}

TEST(Decode, APngCutAnywhereIsTruncated) {
  const Bytes whole = Png(Waves(80, 60));
  for (std::size_t size = 4; size < whole.size(); size += 11) {
    EXPECT_EQ(CodeOf(std::span(whole).first(size)), Code::kPhotoTruncated) << size;
  }
}

TEST(Decode, DamagedPixelsAreCorrupt) {
  Bytes png = Png(Waves(80, 60));
  png[png.size() / 2] ^= 0x55;
  EXPECT_EQ(CodeOf(png), Code::kPhotoCorrupt);
}

TEST(Decode, EmptyLargeAndForeignBytesAreRefusedByName) {
  EXPECT_EQ(CodeOf({}), Code::kFileEmpty);
  DecodeOptions options;
  options.max_bytes = 100;
  EXPECT_EQ(DecodePhoto(Bytes(101), "a", options).error().code, Code::kFileTooLarge);
  EXPECT_EQ(CodeOf(FromText("the quick brown fox jumps over the dog")), Code::kNotAPhoto);
  const auto gif = DecodePhoto(FromText("GIF89a\x01..............."), "a.gif");
  EXPECT_EQ(gif.error().code, Code::kNotAPhoto);
  EXPECT_NE(gif.error().message.find("GIF"), std::string::npos);
  EXPECT_EQ(ReadPhoto("/no/such/photo.jpg").error().code, Code::kFileUnreadable);
}

TEST(Decode, TooManyPixelsAreRefusedFromTheHeaderAlone) {
  Bytes png = Png(Waves(8, 8));
  // IHDR says 20000 x 20000; nothing behind it fits, and nothing of it is decoded.
  const Bytes forged = {0, 0, 0x4E, 0x20, 0, 0, 0x4E, 0x20};
  std::copy(forged.begin(), forged.end(), png.begin() + 16);
  EXPECT_EQ(CodeOf(png), Code::kPhotoTooLarge);

  Bytes jpeg = Jpeg(Waves(8, 8));
  for (std::size_t i = 0; i + 9 < jpeg.size(); ++i) {
    if (jpeg[i] == 0xFF && jpeg[i + 1] == 0xC0) {
      std::copy_n(Bytes{0x4E, 0x20, 0x4E, 0x20}.begin(), 4,
                  jpeg.begin() + static_cast<std::ptrdiff_t>(i) + 5);
      break;
    }
  }
  EXPECT_EQ(CodeOf(jpeg), Code::kPhotoTooLarge);
}

// Where the four corners of a stored picture lie when it is seen upright: EXIF 2.32, tag 0x0112.
TEST(Decode, AllEightOrientationsBringTheCornersHome) {
  const cv::Mat upright = Waves(96, 64);
  const cv::Vec3b red = upright.at<cv::Vec3b>(4, 4);
  const cv::Vec3b green = upright.at<cv::Vec3b>(4, 91);
  const cv::Vec3b blue = upright.at<cv::Vec3b>(59, 4);
  for (int orientation = 1; orientation <= 8; ++orientation) {
    const bool swapped = orientation >= 5;
    const int rows = swapped ? upright.cols : upright.rows;
    const int cols = swapped ? upright.rows : upright.cols;
    cv::Mat stored(rows, cols, CV_8UC3);
    for (int r = 0; r < rows; ++r) {
      for (int c = 0; c < cols; ++c) {
        int x = swapped ? r : c;
        int y = swapped ? c : r;
        // 2, 3: the first column is the right side; 6, 7: the first row is.
        const bool from_right =
            orientation == 2 || orientation == 3 || orientation == 6 || orientation == 7;
        // 3, 4: the first row is the bottom; 7, 8: the first column is.
        const bool from_bottom =
            orientation == 3 || orientation == 4 || orientation == 7 || orientation == 8;
        if (from_right) x = upright.cols - 1 - x;
        if (from_bottom) y = upright.rows - 1 - y;
        stored.at<cv::Vec3b>(r, c) = upright.at<cv::Vec3b>(y, x);
      }
    }
    JpegOptions options;
    options.quality = 100;
    options.chroma = ChromaGrid::kFull;
    options.exif = WriteExif({orientation, {}, {}});
    const auto photo = DecodePhoto(Jpeg(stored, options), "o.jpg");
    ASSERT_TRUE(photo.has_value());
    EXPECT_EQ(photo->orientation, orientation);
    ASSERT_EQ(photo->rgb.size(), upright.size()) << orientation;
    EXPECT_TRUE(photo->rgb.isContinuous());
    EXPECT_LT(LargestDifference(photo->rgb, upright), 16.0) << orientation;
    EXPECT_LT(cv::norm(cv::Vec3i(photo->rgb.at<cv::Vec3b>(4, 4)) - cv::Vec3i(red)), 8.0);
    EXPECT_LT(cv::norm(cv::Vec3i(photo->rgb.at<cv::Vec3b>(4, 91)) - cv::Vec3i(green)), 8.0);
    EXPECT_LT(cv::norm(cv::Vec3i(photo->rgb.at<cv::Vec3b>(59, 4)) - cv::Vec3i(blue)), 8.0);
  }
}

}  // namespace
}  // namespace ribwright::photo
