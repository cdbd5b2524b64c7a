// SPDX-License-Identifier: Apache-2.0
// The few facts of an EXIF block that the program uses (EXIF 2.32, through libexif).
//
// orientation: 1..8, what must be done to the stored pixels to see them upright (1: nothing).
// focal_length_mm: the lens's own; focal_length_35mm: of the lens that would give the same angle of
// view on a 36 mm x 24 mm frame. taken: when the photo was taken, "2026-03-01T12:00:00Z" where the
// camera states its offset from UTC, else its own clock without the Z. A value that is absent, zero
// or not a number is nullopt. A block that cannot be read gives the defaults: EXIF is advice, a
// photo is never refused for it.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <vector>

namespace ribwright::photo {

struct ExifFacts {
  int orientation = 1;
  std::optional<double> focal_length_mm;
  std::optional<double> focal_length_35mm;
  std::string taken = {};
};

// `block` with or without the leading "Exif\0\0".
ExifFacts ReadExif(std::span<const std::uint8_t> block);

// A block with leading "Exif\0\0" that carries these facts but for `taken`; focal_length_35mm is
// rounded to whole mm, as the tag demands. The same facts give the same bytes. Lengths must be in
// 0.001..65535 mm.
std::vector<std::uint8_t> WriteExif(const ExifFacts& facts);

}  // namespace ribwright::photo
