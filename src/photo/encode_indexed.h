// SPDX-License-Identifier: Apache-2.0
// EncodeIndexedPng: a picture of few colours, some see-through, as a palette PNG.
//
// `indices` is CV_8UC1, each value an index into `palette` (at most 256 entries, sRGB and opacity
// 0..255). Lossless, zlib's fastest level, no row filter: labels repeat along a row. An index
// outside the palette, an empty picture or palette: the caller's fault, LogicError. Error:
// kInternal, when the codec fails (no memory). Thread-safe; the same input gives the same bytes.
#pragma once

#include <array>
#include <cstdint>
#include <opencv2/core/mat.hpp>
#include <span>
#include <vector>

#include "base/result.h"

namespace ribwright::photo {

struct PaletteEntry {
  std::array<std::uint8_t, 3> rgb = {0, 0, 0};
  std::uint8_t opacity = 255;
};

Result<std::vector<std::uint8_t>> EncodeIndexedPng(const cv::Mat& indices,
                                                   std::span<const PaletteEntry> palette);

}  // namespace ribwright::photo
