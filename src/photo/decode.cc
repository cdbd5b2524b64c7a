// SPDX-License-Identifier: Apache-2.0
#include "photo/decode.h"

#include <fmt/format.h>

#include <opencv2/core.hpp>
#include <utility>

#include "base/check.h"
#include "base/files.h"
#include "photo/exif.h"
#include "photo/heic_pipe.h"
#include "photo/orient.h"
#include "photo/profile.h"
#include "photo/raw_picture.h"
#include "photo/sniff.h"

namespace ribwright::photo {
namespace {

Result<RawPicture> ReadAs(PhotoFormat format, std::span<const std::uint8_t> bytes,
                          const ReadContext& context) {
  switch (format) {
    case PhotoFormat::kJpeg:
      return ReadJpeg(bytes, context);
    case PhotoFormat::kPng:
      return ReadPng(bytes, context);
    case PhotoFormat::kWebp:
      return ReadWebp(bytes, context);
    case PhotoFormat::kHeic:
      return ReadHeic(bytes, context);
  }
  RIBWRIGHT_CHECK(false);
}

tl::unexpected<Error> NotAPhoto(std::string_view seems, std::string_view name) {
  return Fail(Code::kNotAPhoto,
              seems.empty()
                  ? "The bytes are not a JPEG, PNG, WebP or HEIC picture."
                  : fmt::format("The file is {}, which is not a photo this program reads.", seems),
              std::string(name), "Give a JPEG, PNG, WebP or HEIC photo, or save this one as JPEG.");
}

// c * a + white * (1 - a), rounded; alpha of 255 leaves the colour as it is.
cv::Mat OnWhite(const cv::Mat& rgba, bool& any_transparent) {
  cv::Mat rgb(rgba.size(), CV_8UC3);
  any_transparent = false;
  for (int y = 0; y < rgba.rows; ++y) {
    const auto* in = rgba.ptr<std::uint8_t>(y);
    auto* out = rgb.ptr<std::uint8_t>(y);
    for (int x = 0; x < rgba.cols; ++x, in += 4, out += 3) {
      const int a = in[3];
      any_transparent = any_transparent || a != 255;
      for (int i = 0; i < 3; ++i) {
        out[i] = static_cast<std::uint8_t>((in[i] * a + 255 * (255 - a) + 127) / 255);
      }
    }
  }
  return rgb;
}

void Warn(Code code, Photo& photo) {
  for (const CodeEntry& entry : CodeTable()) {
    if (entry.code == code) photo.warnings.push_back({code, std::string(entry.meaning)});
  }
}

// Any of the readers' pixels to 8-bit sRGB without alpha.
void Finish(RawPicture raw, Photo& photo) {
  if (raw.icc_refused) Warn(Code::kProfileIgnored, photo);
  if (!raw.icc.empty()) {
    const ProfileOutcome outcome = ApplyProfile(raw.icc, raw.grey, raw.pixels);
    photo.profile_applied = outcome == ProfileOutcome::kApplied;
    if (outcome == ProfileOutcome::kUnusable) Warn(Code::kProfileIgnored, photo);
  }
  if (raw.pixels.depth() == CV_16U) {
    constexpr double kEightFromSixteen = 1.0 / 257.0;  // 255 / 65535
    cv::Mat narrow;
    raw.pixels.convertTo(narrow, CV_8U, kEightFromSixteen);
    raw.pixels = narrow;
  }
  if (raw.pixels.channels() == 4) {
    bool transparent = false;
    raw.pixels = OnWhite(raw.pixels, transparent);
    if (transparent) Warn(Code::kPhotoTransparent, photo);
  }
  const ExifFacts facts = ReadExif(raw.exif);
  photo.focal_length_mm = facts.focal_length_mm;
  photo.focal_length_35mm = facts.focal_length_35mm;
  photo.taken = facts.taken;
  photo.orientation = raw.upright ? 1 : facts.orientation;
  photo.rgb = Upright(raw.pixels, photo.orientation);
}

}  // namespace

std::string_view FormatText(PhotoFormat format) {
  switch (format) {
    case PhotoFormat::kJpeg:
      return "JPEG";
    case PhotoFormat::kPng:
      return "PNG";
    case PhotoFormat::kWebp:
      return "WebP";
    case PhotoFormat::kHeic:
      return "HEIC";
  }
  RIBWRIGHT_CHECK(false);
}

Result<Photo> DecodePhoto(std::span<const std::uint8_t> bytes, std::string_view name,
                          const DecodeOptions& options) {
  const ReadContext context{name, options};
  if (bytes.empty()) {
    return Fail(Code::kFileEmpty, "The file holds no bytes.", std::string(name),
                "Copy the photo again from the phone or camera.");
  }
  if (bytes.size() > options.max_bytes) {
    return Fail(Code::kFileTooLarge,
                fmt::format("The file is larger than {:.0f} MB.",
                            static_cast<double>(options.max_bytes) / 1e6),
                std::string(name), "Save it as a JPEG, or smaller.");
  }
  const Sniffed sniffed = Sniff(bytes);
  if (!sniffed.format) return NotAPhoto(sniffed.seems, name);
  auto raw = ReadAs(*sniffed.format, bytes, context);
  if (!raw) return Fail(raw.error());
  Photo photo;
  photo.format = *sniffed.format;
  Finish(std::move(*raw), photo);
  return photo;
}

Result<Photo> ReadPhoto(const std::filesystem::path& path, const DecodeOptions& options) {
  const auto bytes = ReadFileLimited(path, options.max_bytes);
  if (!bytes) return Fail(bytes.error());
  return DecodePhoto(*bytes, path.string(), options);
}

}  // namespace ribwright::photo
