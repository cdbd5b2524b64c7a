// SPDX-License-Identifier: Apache-2.0
// The photo door under damage: seeded mutations of sound pictures must give a picture or an error,
// never a fault. fuzz/decode_fuzz.cc searches further with coverage.
#include <gtest/gtest.h>
#include <webp/encode.h>

#include "math/rng.h"
#include "photo/decode.h"
#include "photo/encode.h"
#include "photo/exif.h"
#include "photo/profile.h"
#include "photo/sample_pictures_test.h"
#include "photo/test_png.h"

namespace ribwright::photo {
namespace {

using testing::Bytes;

std::vector<Bytes> Samples() {
  const cv::Mat rgb = testing::Waves(48, 36);
  JpegOptions jpeg;
  jpeg.exif = WriteExif({6, 5.0, 25.0});
  jpeg.icc_profile = ProfileFromGamma(1.8, {0.3127, 0.3290, 0.64, 0.33, 0.21, 0.71, 0.15, 0.06});
  std::uint8_t* webp = nullptr;
  const std::size_t size =
      WebPEncodeRGB(rgb.data, rgb.cols, rgb.rows, static_cast<int>(rgb.step), 80.0F, &webp);
  const Bytes webp_bytes(webp, webp + size);
  WebPFree(webp);
  return {EncodeJpeg(rgb, jpeg).value(), EncodeJpeg(rgb).value(), EncodePng(rgb).value(),
          testing::WriteTestPng({.width = 48,
                                 .height = 36,
                                 .rows = Bytes(rgb.datastart, rgb.dataend),
                                 .chunks = {{"iCCP", testing::ProfileChunk(jpeg.icc_profile)}}}),
          webp_bytes};
}

void Mutate(math::Rng& rng, Bytes& bytes) {
  const auto below = [&](std::size_t n) {
    return static_cast<std::size_t>(rng.Below(static_cast<std::uint32_t>(n)));
  };
  for (std::size_t times = 1 + below(4); times > 0 && bytes.size() > 1; --times) {
    // Headers decide most, so half of the damage goes to the first 200 bytes.
    const std::size_t reach =
        rng.Chance(0.5) ? std::min<std::size_t>(200, bytes.size()) : bytes.size();
    const auto at = static_cast<std::ptrdiff_t>(below(reach));
    switch (rng.Below(6)) {
      case 0:
        bytes[static_cast<std::size_t>(at)] ^= static_cast<std::uint8_t>(1U << rng.Below(8));
        break;
      case 1:
        bytes[static_cast<std::size_t>(at)] = static_cast<std::uint8_t>(rng.Below(256));
        break;
      case 2:
        bytes[static_cast<std::size_t>(at)] = rng.Chance(0.5) ? 0xFF : 0x00;
        break;
      case 3:
        bytes.erase(bytes.begin() + at, bytes.begin() + at + 1);
        break;
      case 4:
        bytes.insert(bytes.begin() + at, static_cast<std::uint8_t>(rng.Below(256)));
        break;
      default:
        bytes.resize(static_cast<std::size_t>(at) + 1);
        break;
    }
  }
}

TEST(DecodeMutations, GiveAPictureOrAnErrorThatHelps) {
  constexpr int kRounds = 2000;
  const std::vector<Bytes> samples = Samples();
  math::Rng rng(20261125);
  DecodeOptions options;
  options.max_pixels = 1'000'000;
  options.heic_helper = "/nonexistent/helper";
  int pictures = 0;
  int errors = 0;
  for (int round = 0; round < kRounds; ++round) {
    Bytes bytes = samples[rng.Below(static_cast<std::uint32_t>(samples.size()))];
    Mutate(rng, bytes);
    const auto photo = DecodePhoto(bytes, "m", options);
    if (photo) {
      ++pictures;
      ASSERT_EQ(photo->rgb.type(), CV_8UC3);
      ASSERT_GT(photo->rgb.total(), 0U);
      ASSERT_LE(photo->rgb.total(), options.max_pixels);
      ASSERT_TRUE(photo->rgb.isContinuous());
      ASSERT_TRUE(!photo->focal_length_mm || *photo->focal_length_mm > 0.0);
    } else {
      ++errors;
      ASSERT_NE(photo.error().code, Code::kInternal);
      ASSERT_EQ(KindOf(photo.error().code), CodeKind::kError);
      ASSERT_FALSE(photo.error().message.empty());
      ASSERT_FALSE(photo.error().mend.empty());
      ASSERT_EQ(photo.error().where, "m");
    }
  }
  // Both ways out were taken often, so the loop did look at both.
  EXPECT_GT(pictures, kRounds / 50);
  EXPECT_GT(errors, kRounds / 4);
}

}  // namespace
}  // namespace ribwright::photo
