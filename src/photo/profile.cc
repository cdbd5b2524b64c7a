// SPDX-License-Identifier: Apache-2.0
#include "photo/profile.h"

#include <lcms2.h>

#include <cstdlib>
#include <limits>
#include <memory>
#include <numeric>
#include <opencv2/core/utility.hpp>
#include <type_traits>

#include "base/check.h"

namespace ribwright::photo {
namespace {

struct ContextDelete {
  void operator()(void* context) const { cmsDeleteContext(static_cast<cmsContext>(context)); }
};
struct ProfileClose {
  void operator()(void* profile) const { cmsCloseProfile(profile); }
};
struct TransformDelete {
  void operator()(void* transform) const { cmsDeleteTransform(transform); }
};
using ContextPtr = std::unique_ptr<std::remove_pointer_t<cmsContext>, ContextDelete>;
using ProfilePtr = std::unique_ptr<void, ProfileClose>;
using TransformPtr = std::unique_ptr<void, TransformDelete>;

constexpr std::size_t kLargestProfile = 8'000'000;  // bytes; our own limit

TransformPtr ToSrgb(cmsContext context, cmsHPROFILE from, cmsUInt32Number in, cmsUInt32Number out) {
  const ProfilePtr srgb(cmsCreate_sRGBProfileTHR(context));
  if (!srgb) return nullptr;
  // The cache would make a transform unsafe to share between threads.
  return TransformPtr(cmsCreateTransformTHR(context, from, in, srgb.get(), out,
                                            INTENT_RELATIVE_COLORIMETRIC, cmsFLAGS_NOCACHE));
}

bool SameWithinOne(const std::array<std::uint8_t, 3>& a, const std::array<std::uint8_t, 3>& b) {
  for (std::size_t i = 0; i < 3; ++i) {
    if (std::abs(int{a[i]} - int{b[i]}) > 1) return false;
  }
  return true;
}

bool IsIdentity(cmsHTRANSFORM rgb_to_srgb) {
  constexpr int kSteps = 9;
  const auto code = [](int step) {
    return static_cast<std::uint8_t>((step * 255 + (kSteps - 1) / 2) / (kSteps - 1));
  };
  for (int at = 0; at < kSteps * kSteps * kSteps; ++at) {
    const std::array<std::uint8_t, 3> in = {code(at / (kSteps * kSteps)),
                                            code(at / kSteps % kSteps), code(at % kSteps)};
    std::array<std::uint8_t, 3> out{};
    cmsDoTransform(rgb_to_srgb, in.data(), out.data(), 1);
    if (!SameWithinOne(in, out)) return false;
  }
  return true;
}

ProfileOutcome ApplyRgb(cmsContext context, cmsHPROFILE from, cv::Mat& pixels) {
  const TransformPtr probe = ToSrgb(context, from, TYPE_RGB_8, TYPE_RGB_8);
  if (!probe) return ProfileOutcome::kUnusable;
  if (IsIdentity(probe.get())) return ProfileOutcome::kSrgbAlready;
  const bool wide = pixels.depth() == CV_16U;
  // In place, lcms leaves the extra channel (alpha) as it stands.
  const cmsUInt32Number layout = pixels.channels() == 4 ? (wide ? TYPE_RGBA_16 : TYPE_RGBA_8)
                                                        : (wide ? TYPE_RGB_16 : TYPE_RGB_8);
  const TransformPtr transform = ToSrgb(context, from, layout, layout);
  if (!transform) return ProfileOutcome::kUnusable;
  cv::parallel_for_(cv::Range(0, pixels.rows), [&](const cv::Range& rows) {
    for (int y = rows.start; y < rows.end; ++y) {
      cmsDoTransform(transform.get(), pixels.ptr(y), pixels.ptr(y),
                     static_cast<cmsUInt32Number>(pixels.cols));
    }
  });
  return ProfileOutcome::kApplied;
}

// Every grey there is goes through the profile once; pixels then read the table.
template <typename Sample>
void LookUp(const std::vector<Sample>& table, cv::Mat& pixels) {
  const auto channels = static_cast<std::size_t>(pixels.channels());
  cv::parallel_for_(cv::Range(0, pixels.rows), [&](const cv::Range& rows) {
    for (int y = rows.start; y < rows.end; ++y) {
      auto* pixel = pixels.ptr<Sample>(y);
      for (int x = 0; x < pixels.cols; ++x, pixel += channels) {
        const std::size_t from = std::size_t{pixel[0]} * 3;
        for (std::size_t i = 0; i < 3; ++i) pixel[i] = table[from + i];
      }
    }
  });
}

template <typename Sample>
bool ApplyGreyTable(cmsContext context, cmsHPROFILE from, cmsUInt32Number in, cmsUInt32Number out,
                    cv::Mat& pixels) {
  const TransformPtr transform = ToSrgb(context, from, in, out);
  if (!transform) return false;
  std::vector<Sample> greys(std::size_t{std::numeric_limits<Sample>::max()} + 1);
  std::iota(greys.begin(), greys.end(), Sample{0});
  std::vector<Sample> table(greys.size() * 3);
  cmsDoTransform(transform.get(), greys.data(), table.data(),
                 static_cast<cmsUInt32Number>(greys.size()));
  LookUp(table, pixels);
  return true;
}

ProfileOutcome ApplyGrey(cmsContext context, cmsHPROFILE from, cv::Mat& pixels) {
  const bool done =
      pixels.depth() == CV_16U
          ? ApplyGreyTable<std::uint16_t>(context, from, TYPE_GRAY_16, TYPE_RGB_16, pixels)
          : ApplyGreyTable<std::uint8_t>(context, from, TYPE_GRAY_8, TYPE_RGB_8, pixels);
  return done ? ProfileOutcome::kApplied : ProfileOutcome::kUnusable;
}

bool DescribesPixels(cmsHPROFILE profile) {
  const cmsProfileClassSignature kind = cmsGetDeviceClass(profile);
  return kind == cmsSigInputClass || kind == cmsSigDisplayClass || kind == cmsSigOutputClass ||
         kind == cmsSigColorSpaceClass;
}

}  // namespace

ProfileOutcome ApplyProfile(std::span<const std::uint8_t> icc, bool grey, cv::Mat& pixels) {
  RIBWRIGHT_CHECK(pixels.channels() == 3 || pixels.channels() == 4);
  RIBWRIGHT_CHECK(pixels.depth() == CV_8U || pixels.depth() == CV_16U);
  if (icc.empty() || icc.size() > kLargestProfile) return ProfileOutcome::kUnusable;
  const ContextPtr context(cmsCreateContext(nullptr, nullptr));
  if (!context) return ProfileOutcome::kUnusable;
  const ProfilePtr from(cmsOpenProfileFromMemTHR(context.get(), icc.data(),
                                                 static_cast<cmsUInt32Number>(icc.size())));
  if (!from || !DescribesPixels(from.get())) return ProfileOutcome::kUnusable;
  switch (cmsGetColorSpace(from.get())) {
    case cmsSigRgbData:
      return ApplyRgb(context.get(), from.get(), pixels);
    case cmsSigGrayData:
      return grey ? ApplyGrey(context.get(), from.get(), pixels) : ProfileOutcome::kUnusable;
    default:
      return ProfileOutcome::kUnusable;
  }
}

std::vector<std::uint8_t> ProfileFromGamma(double exponent, const Chromaticities& c) {
  const ContextPtr context(cmsCreateContext(nullptr, nullptr));
  if (!context) return {};
  const cmsCIExyY white = {c[0], c[1], 1.0};
  const cmsCIExyYTRIPLE primaries = {{c[2], c[3], 1.0}, {c[4], c[5], 1.0}, {c[6], c[7], 1.0}};
  const std::unique_ptr<cmsToneCurve, decltype(&cmsFreeToneCurve)> curve(
      cmsBuildGamma(context.get(), exponent), &cmsFreeToneCurve);
  if (!curve) return {};
  cmsToneCurve* curves[3] = {curve.get(), curve.get(), curve.get()};
  const ProfilePtr profile(cmsCreateRGBProfileTHR(context.get(), &white, &primaries, curves));
  if (!profile) return {};
  cmsUInt32Number size = 0;
  if (cmsSaveProfileToMem(profile.get(), nullptr, &size) == 0) return {};
  std::vector<std::uint8_t> bytes(size);
  if (cmsSaveProfileToMem(profile.get(), bytes.data(), &size) == 0) return {};
  return bytes;
}

}  // namespace ribwright::photo
