// SPDX-License-Identifier: Apache-2.0
// The photo door: bytes from outside to an upright sRGB picture, or one clear error.
//
// Reads JPEG, PNG (palette, grey, 16-bit, see-through), WebP, and HEIC through the helper program
// of photo/heic_pipe.h. The format is told by content, never by the name. docs/format/photos.md
// lists what is read and what is refused. In order: size in bytes, format, size in pixels (from the
// header, before any pixel is decoded), pixels, colour profile to sRGB, see-through parts laid on
// white, EXIF orientation.
//
// Errors: kFileEmpty, kFileTooLarge, kNotAPhoto, kPhotoTooLarge, kPhotoTruncated, kPhotoCorrupt,
// kPhotoAnimated, kPhotoCmyk, kPhotoUnsupported, kHeicHelperMissing, kHeicHelperFailed; ReadPhoto
// adds kFileUnreadable. A picture that breaks off is an error, never a picture filled with grey.
// Warnings: kProfileIgnored, kPhotoTransparent.
// Cost: a JPEG that is sRGB and upright is decoded straight into Photo::rgb, 3 bytes a pixel and no
// copy. Thread-safe.
#pragma once

#include <chrono>
#include <cstdint>
#include <filesystem>
#include <opencv2/core/mat.hpp>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "base/result.h"
#include "report/photo_report.h"

namespace ribwright::photo {

enum class PhotoFormat { kJpeg, kPng, kWebp, kHeic };
std::string_view FormatText(PhotoFormat format);  // "JPEG", "PNG", "WebP", "HEIC"

struct DecodeOptions {
  std::size_t max_bytes = 64'000'000;  // our own limits: several times what phones make
  std::size_t max_pixels = 100'000'000;
  std::filesystem::path heic_helper;  // empty: looked for, see photo/heic_pipe.h
  std::chrono::milliseconds heic_timeout{20'000};
};

struct Photo {
  cv::Mat rgb;  // CV_8UC3, R G B, sRGB, upright, continuous
  PhotoFormat format = PhotoFormat::kJpeg;
  int orientation = 1;  // the EXIF value that was found and applied; 1: nothing to do
  std::optional<double> focal_length_mm;
  std::optional<double> focal_length_35mm;
  std::string taken;             // photo/exif.h; empty where not stated
  bool profile_applied = false;  // an embedded profile other than sRGB was turned into sRGB
  std::vector<report::Caution> warnings;
};

// `name` goes into the errors' `where`.
Result<Photo> DecodePhoto(std::span<const std::uint8_t> bytes, std::string_view name,
                          const DecodeOptions& options = {});
Result<Photo> ReadPhoto(const std::filesystem::path& path, const DecodeOptions& options = {});

}  // namespace ribwright::photo
