// SPDX-License-Identifier: Apache-2.0
// WebP through the photo door.
#include <gtest/gtest.h>
#include <webp/encode.h>

#include "photo/decode.h"
#include "photo/exif.h"
#include "photo/profile.h"
#include "photo/sample_pictures_test.h"

namespace ribwright::photo {
namespace {

using Bytes = std::vector<std::uint8_t>;

Bytes Lossless(const cv::Mat& rgb) {
  std::uint8_t* out = nullptr;
  const std::size_t size =
      WebPEncodeLosslessRGB(rgb.data, rgb.cols, rgb.rows, static_cast<int>(rgb.step), &out);
  Bytes bytes(out, out + size);
  WebPFree(out);
  return bytes;
}

Bytes Lossy(const cv::Mat& rgb) {
  std::uint8_t* out = nullptr;
  const std::size_t size =
      WebPEncodeRGB(rgb.data, rgb.cols, rgb.rows, static_cast<int>(rgb.step), 90.0F, &out);
  Bytes bytes(out, out + size);
  WebPFree(out);
  return bytes;
}

void AppendLittle(Bytes& to, std::size_t value, int bytes) {
  for (int i = 0; i < bytes; ++i) to.push_back(static_cast<std::uint8_t>(value >> (8 * i)));
}

void AppendChunk(Bytes& to, std::string_view type, const Bytes& data) {
  to.insert(to.end(), type.begin(), type.end());
  AppendLittle(to, data.size(), 4);
  to.insert(to.end(), data.begin(), data.end());
  if (data.size() % 2 != 0) to.push_back(0);
}

// The extended container (RIFF, VP8X) round the picture chunk of a simple file.
Bytes Extended(const Bytes& simple, int width, int height, int flags,
               const std::vector<std::pair<std::string, Bytes>>& before,
               const std::vector<std::pair<std::string, Bytes>>& after) {
  Bytes body = {'W', 'E', 'B', 'P'};
  Bytes header = {static_cast<std::uint8_t>(flags), 0, 0, 0};
  AppendLittle(header, static_cast<std::size_t>(width - 1), 3);
  AppendLittle(header, static_cast<std::size_t>(height - 1), 3);
  AppendChunk(body, "VP8X", header);
  for (const auto& [type, data] : before) AppendChunk(body, type, data);
  body.insert(body.end(), simple.begin() + 12, simple.end());
  for (const auto& [type, data] : after) AppendChunk(body, type, data);
  Bytes file = {'R', 'I', 'F', 'F'};
  AppendLittle(file, body.size(), 4);
  file.insert(file.end(), body.begin(), body.end());
  return file;
}

constexpr int kProfileFlag = 0x20;
constexpr int kExifFlag = 0x08;
constexpr int kAnimationFlag = 0x02;

TEST(DecodeWebp, LosslessComesBackExactlyAndLossyClose) {
  const cv::Mat rgb = testing::Waves(60, 40);
  const auto exact = DecodePhoto(Lossless(rgb), "a.webp");
  ASSERT_TRUE(exact.has_value()) << exact.error().message;
  EXPECT_EQ(exact->format, PhotoFormat::kWebp);
  EXPECT_EQ(testing::LargestDifference(exact->rgb, rgb), 0.0);
  const auto close = DecodePhoto(Lossy(testing::Waves(160, 120)), "b.webp");
  ASSERT_TRUE(close.has_value());
  EXPECT_LT(testing::MeanDifference(close->rgb, testing::Waves(160, 120)), 5.0);
}

TEST(DecodeWebp, CutAnywhereIsTruncated) {
  for (const Bytes& whole : {Lossless(testing::Waves(60, 40)), Lossy(testing::Waves(60, 40))}) {
    for (std::size_t size = 12; size < whole.size(); size += 5) {
      const auto photo = DecodePhoto(std::span(whole).first(size), "a.webp");
      ASSERT_FALSE(photo.has_value()) << size;
      EXPECT_EQ(photo.error().code, Code::kPhotoTruncated) << size << photo.error().message;
    }
  }
}

TEST(DecodeWebp, ExifAndProfileChunksAreObeyed) {
  const cv::Mat rgb = testing::Waves(60, 40);
  const Bytes icc = ProfileFromGamma(1.0, {0.3127, 0.3290, 0.64, 0.33, 0.30, 0.60, 0.15, 0.06});
  const Bytes file = Extended(Lossless(rgb), 60, 40, kProfileFlag | kExifFlag, {{"ICCP", icc}},
                              {{"EXIF", WriteExif({3, 6.1, {}})}});
  const auto photo = DecodePhoto(file, "e.webp");
  ASSERT_TRUE(photo.has_value()) << photo.error().message;
  EXPECT_EQ(photo->orientation, 3);
  EXPECT_TRUE(photo->profile_applied);
  EXPECT_DOUBLE_EQ(photo->focal_length_mm.value(), 6.1);
  // The blue corner (bottom left) has come to the top right, lightened from linear codes.
  const auto corner = photo->rgb.at<cv::Vec3b>(2, 57);
  EXPECT_GT(corner[2], 230);
  EXPECT_LT(corner[0], 100);
}

TEST(DecodeWebp, AnimationsAreRefused) {
  const Bytes still = Lossless(testing::Waves(16, 16));
  const Bytes file = Extended(still, 16, 16, kAnimationFlag, {{"ANIM", {0, 0, 0, 0, 0, 0}}}, {});
  const auto photo = DecodePhoto(file, "a.webp");
  ASSERT_FALSE(photo.has_value());
  EXPECT_EQ(photo.error().code, Code::kPhotoAnimated) << photo.error().message;
}

}  // namespace
}  // namespace ribwright::photo
