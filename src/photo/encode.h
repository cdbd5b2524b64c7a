// SPDX-License-Identifier: Apache-2.0
// Pictures to bytes.
//
// EncodePng: CV_8UC1 (masks, tissue maps) or CV_8UC3 (R, G, B) to an 8-bit PNG, lossless, at zlib's
// fastest level with one fixed row filter: speed before size. Colour pictures carry the sRGB chunk.
// EncodeJpeg: CV_8UC3 (R, G, B, sRGB) to a baseline JPEG through libjpeg-turbo's accurate integer
// transform. The same picture and options give the same bytes for one build. A picture of the wrong
// type, without pixels or over 65 500 pixels a side (JPEG's own limit) is the caller's fault:
// LogicError. Error: kInternal, when the codec itself fails (no memory). Thread-safe.
#pragma once

#include <cstdint>
#include <opencv2/core/mat.hpp>
#include <vector>

#include "base/result.h"

namespace ribwright::photo {

enum class ChromaGrid {
  kFull,  // 4:4:4, colour as sharp as lightness
  kHalf,  // 4:2:0, as phones write
};

struct JpegOptions {
  int quality = 90;  // 1..100
  ChromaGrid chroma = ChromaGrid::kHalf;
  std::vector<std::uint8_t> exif;         // from WriteExif, or empty
  std::vector<std::uint8_t> icc_profile;  // or empty: sRGB is understood
};

Result<std::vector<std::uint8_t>> EncodePng(const cv::Mat& picture);
Result<std::vector<std::uint8_t>> EncodeJpeg(const cv::Mat& rgb, const JpegOptions& options = {});

}  // namespace ribwright::photo
