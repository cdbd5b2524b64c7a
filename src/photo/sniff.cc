// SPDX-License-Identifier: Apache-2.0
#include "photo/sniff.h"

#include <algorithm>
#include <array>

namespace ribwright::photo {
namespace {

using namespace std::string_view_literals;

struct Mark {
  std::string_view start;
  std::string_view seems;
};

// First bytes as each format's own specification fixes them.
constexpr std::array kOthers = {
    Mark{"GIF8"sv, "a GIF picture"},
    Mark{"BM"sv, "a BMP picture"},
    Mark{"II*\0"sv, "a TIFF or camera raw picture"},
    Mark{"MM\0*"sv, "a TIFF or camera raw picture"},
    Mark{"\xFF\x0A"sv, "a JPEG XL picture"},
    Mark{"\0\0\0\x0CJXL "sv, "a JPEG XL picture"},
    Mark{"\0\0\0\x0CjP  "sv, "a JPEG 2000 picture"},
    Mark{"%PDF"sv, "a PDF document"},
    Mark{"PK\x03\x04"sv, "a ZIP archive or office document"},
    Mark{"<svg"sv, "an SVG drawing"},
    Mark{"<?xml"sv, "an XML text"},
    Mark{"<!DOCTYPE"sv, "a web page"},
    Mark{"<html"sv, "a web page"},
};

// Brands of ISO base media files (ISO/IEC 14496-12) whose pictures are HEVC-coded (ISO/IEC
// 23008-12).
constexpr std::array kHeicBrands = {"heic"sv, "heix"sv, "heim"sv, "heis"sv,
                                    "mif1"sv, "msf1"sv, "hevc"sv, "hevx"sv};

Sniffed SniffBoxes(std::string_view text) {
  const std::string_view brand = text.substr(8, 4);
  if (brand == "avif" || brand == "avis") return {std::nullopt, "an AVIF picture"};
  if (std::find(kHeicBrands.begin(), kHeicBrands.end(), brand) != kHeicBrands.end()) {
    return {PhotoFormat::kHeic, {}};
  }
  return {std::nullopt, "a video"};
}

}  // namespace

Sniffed Sniff(std::span<const std::uint8_t> bytes) {
  const std::string_view text(reinterpret_cast<const char*>(bytes.data()), bytes.size());
  if (text.starts_with("\xFF\xD8\xFF")) return {PhotoFormat::kJpeg, {}};
  if (text.starts_with("\x89PNG")) return {PhotoFormat::kPng, {}};
  if (text.starts_with("RIFF") && text.substr(0, 12).ends_with("WEBP") && text.size() >= 12) {
    return {PhotoFormat::kWebp, {}};
  }
  if (text.size() >= 12 && text.substr(4, 4) == "ftyp") return SniffBoxes(text);
  for (const Mark& mark : kOthers) {
    if (text.starts_with(mark.start)) return {std::nullopt, mark.seems};
  }
  return {};
}

}  // namespace ribwright::photo
