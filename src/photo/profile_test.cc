// SPDX-License-Identifier: Apache-2.0
#include "photo/profile.h"

#include <gtest/gtest.h>
#include <lcms2.h>

#include <memory>
#include <opencv2/core.hpp>

#include "photo/decode.h"
#include "photo/delta_e.h"
#include "photo/encode.h"
#include "photo/sample_pictures_test.h"
#include "photo/srgb.h"
#include "photo/test_png.h"

namespace ribwright::photo {
namespace {

using testing::Bytes;

struct ProfileClose {
  void operator()(void* profile) const { cmsCloseProfile(profile); }
};
struct TransformDelete {
  void operator()(void* transform) const { cmsDeleteTransform(transform); }
};
using ProfilePtr = std::unique_ptr<void, ProfileClose>;
using TransformPtr = std::unique_ptr<void, TransformDelete>;

Bytes Saved(cmsHPROFILE profile) {
  cmsUInt32Number size = 0;
  cmsSaveProfileToMem(profile, nullptr, &size);
  Bytes bytes(size);
  cmsSaveProfileToMem(profile, bytes.data(), &size);
  return bytes;
}

// Two wider spaces: one with a pure power curve and a far green, one with sRGB's curve and wider
// primaries, as cameras and phones write. (Chromaticities as commonly stated for them; the test
// needs no more than two spaces.)
Bytes WideGreen() {
  return ProfileFromGamma(563.0 / 256.0, {0.3127, 0.3290, 0.64, 0.33, 0.21, 0.71, 0.15, 0.06});
}
Bytes WideScreen() {
  const cmsCIExyY white = {0.3127, 0.3290, 1.0};
  const cmsCIExyYTRIPLE primaries = {{0.680, 0.320, 1.0}, {0.265, 0.690, 1.0}, {0.150, 0.060, 1.0}};
  const double curve_numbers[5] = {2.4, 1.0 / 1.055, 0.055 / 1.055, 1.0 / 12.92, 0.04045};
  cmsToneCurve* curve = cmsBuildParametricToneCurve(nullptr, 4, curve_numbers);
  cmsToneCurve* curves[3] = {curve, curve, curve};
  const ProfilePtr profile(cmsCreateRGBProfile(&white, &primaries, curves));
  cmsFreeToneCurve(curve);
  return Saved(profile.get());
}
Bytes Ink() {
  const ProfilePtr profile(cmsCreateProfilePlaceholder(nullptr));
  cmsSetDeviceClass(profile.get(), cmsSigOutputClass);
  cmsSetColorSpace(profile.get(), cmsSigCmykData);
  cmsSetPCS(profile.get(), cmsSigLabData);
  return Saved(profile.get());
}

// Codes that stay inside sRGB from both spaces.
cv::Mat Patches() {
  cv::Mat rgb(8, 27 * 8, CV_8UC3);
  for (int i = 0; i < 27; ++i) {
    rgb(cv::Rect(i * 8, 0, 8, 8)) =
        cv::Scalar(90 + 35 * (i / 9), 90 + 35 * (i / 3 % 3), 90 + 35 * (i % 3));
  }
  return rgb;
}

bool Ignored(const Photo& photo) {
  for (const auto& warning : photo.warnings) {
    if (warning.code == Code::kProfileIgnored) return true;
  }
  return false;
}

// What lcms2 says of the stored codes, without any detour over sRGB.
void ExpectLabOfStored(const cv::Mat& stored, const Photo& photo, const Bytes& icc, double within) {
  const ProfilePtr from(
      cmsOpenProfileFromMem(icc.data(), static_cast<cmsUInt32Number>(icc.size())));
  const ProfilePtr lab4(cmsCreateLab4Profile(nullptr));
  const TransformPtr direct(cmsCreateTransform(from.get(), TYPE_RGB_8, lab4.get(), TYPE_Lab_DBL,
                                               INTENT_RELATIVE_COLORIMETRIC,
                                               cmsFLAGS_NOCACHE | cmsFLAGS_NOOPTIMIZE));
  ASSERT_NE(direct, nullptr);
  for (int x = 4; x < stored.cols; x += 8) {
    cmsCIELab want{};
    cmsDoTransform(direct.get(), stored.ptr(4, x), &want, 1);
    const LabColour got = LabFromSrgb(photo.rgb.at<cv::Vec3b>(4, x));
    EXPECT_LT(DeltaE2000(got, {want.L, want.a, want.b}), within) << x;
  }
}

TEST(Profile, PicturesInWiderSpacesKeepTheirColour) {
  const cv::Mat patches = Patches();
  for (const Bytes& icc : {WideGreen(), WideScreen()}) {
    const auto png =
        DecodePhoto(testing::WriteTestPng({.width = static_cast<std::uint32_t>(patches.cols),
                                           .height = static_cast<std::uint32_t>(patches.rows),
                                           .rows = Bytes(patches.datastart, patches.dataend),
                                           .set_up =
                                               [&](png_structp writer, png_infop info) {
                                                 png_set_iCCP(writer, info, "p", 0, icc.data(),
                                                              static_cast<png_uint_32>(icc.size()));
                                               }}),
                    "p.png");
    ASSERT_TRUE(png.has_value()) << png.error().message;
    EXPECT_TRUE(png->profile_applied);
    EXPECT_FALSE(Ignored(*png));
    ExpectLabOfStored(patches, *png, icc, 0.6);  // half a code in each channel

    JpegOptions options;
    options.quality = 100;
    options.chroma = ChromaGrid::kFull;
    options.icc_profile = icc;
    const auto jpeg = DecodePhoto(EncodeJpeg(patches, options).value(), "p.jpg");
    ASSERT_TRUE(jpeg.has_value());
    EXPECT_TRUE(jpeg->profile_applied);
    ExpectLabOfStored(patches, *jpeg, icc, 1.5);  // and what JPEG loses
  }
}

TEST(Profile, SixteenBitPicturesKeepTheirColourToo) {
  const cv::Mat patches = Patches();
  Bytes wide;
  for (const std::uint8_t* code = patches.datastart; code != patches.dataend; ++code) {
    wide.insert(wide.end(), {*code, *code});  // 257 times the code
  }
  const Bytes icc = WideGreen();
  const auto photo =
      DecodePhoto(testing::WriteTestPng({.width = static_cast<std::uint32_t>(patches.cols),
                                         .height = static_cast<std::uint32_t>(patches.rows),
                                         .depth = 16,
                                         .rows = wide,
                                         .chunks = {{"iCCP", testing::ProfileChunk(icc)}}}),
                  "w.png");
  ASSERT_TRUE(photo.has_value()) << photo.error().message;
  EXPECT_TRUE(photo->profile_applied);
  ExpectLabOfStored(patches, *photo, icc, 0.6);
}

TEST(Profile, SrgbItselfCostsNothingAndChangesNothing) {
  const ProfilePtr srgb(cmsCreate_sRGBProfile());
  cv::Mat pixels = testing::Waves(40, 30);
  const cv::Mat before = pixels.clone();
  EXPECT_EQ(ApplyProfile(Saved(srgb.get()), false, pixels), ProfileOutcome::kSrgbAlready);
  EXPECT_EQ(testing::LargestDifference(pixels, before), 0.0);
}

TEST(Profile, AnInkProfileInAnRgbPictureIsIgnoredAndSaid) {
  const cv::Mat rgb = testing::Waves(40, 30);
  JpegOptions options;
  options.icc_profile = Ink();
  const auto jpeg = DecodePhoto(EncodeJpeg(rgb, options).value(), "i.jpg");
  ASSERT_TRUE(jpeg.has_value());
  EXPECT_TRUE(Ignored(*jpeg));
  const auto png =
      DecodePhoto(testing::WriteTestPng({.width = 40,
                                         .height = 30,
                                         .rows = Bytes(rgb.datastart, rgb.dataend),
                                         .chunks = {{"iCCP", testing::ProfileChunk(Ink())}}}),
                  "i.png");
  ASSERT_TRUE(png.has_value()) << png.error().message;
  EXPECT_TRUE(Ignored(*png));
  EXPECT_FALSE(png->profile_applied);
  EXPECT_EQ(testing::LargestDifference(png->rgb, rgb), 0.0);
}

TEST(Profile, AlphaPassesThroughAndGreyProfilesServeGreyPictures) {
  cv::Mat rgba(2, 2, CV_8UC4, cv::Scalar(120, 100, 90, 77));
  EXPECT_EQ(ApplyProfile(WideGreen(), false, rgba), ProfileOutcome::kApplied);
  EXPECT_EQ(rgba.at<cv::Vec4b>(1, 1)[3], 77);
  EXPECT_NE(rgba.at<cv::Vec4b>(1, 1)[0], 120);

  const cmsCIExyY d50 = {0.3457, 0.3585, 1.0};
  cmsToneCurve* linear = cmsBuildGamma(nullptr, 1.0);
  const ProfilePtr grey(cmsCreateGrayProfile(&d50, linear));
  cmsFreeToneCurve(linear);
  cv::Mat picture(1, 1, CV_8UC3, cv::Scalar(55, 55, 55));
  EXPECT_EQ(ApplyProfile(Saved(grey.get()), false, picture), ProfileOutcome::kUnusable);
  EXPECT_EQ(ApplyProfile(Saved(grey.get()), true, picture), ProfileOutcome::kApplied);
  EXPECT_NEAR(picture.at<cv::Vec3b>(0, 0)[1], 255.0 * SrgbFromLinear(55 / 255.0), 1.5);
}

TEST(Profile, DamagedProfilesAreUnusableNotFatal) {
  Bytes icc = WideScreen();
  cv::Mat pixels = testing::Waves(8, 8);
  for (std::size_t size = 0; size < icc.size(); size += 13) {
    EXPECT_NO_THROW(ApplyProfile(std::span(icc).first(size), false, pixels));
  }
  std::fill(icc.begin() + 128, icc.end(), std::uint8_t{0xFF});
  EXPECT_EQ(ApplyProfile(icc, false, pixels), ProfileOutcome::kUnusable);
}

}  // namespace
}  // namespace ribwright::photo
