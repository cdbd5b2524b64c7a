// SPDX-License-Identifier: Apache-2.0
// What one format's reader hands to the photo door: stored pixels, before colour, transparency and
// orientation. Channels are R G B or R G B A (not premultiplied), 8 or 16 bit.
#pragma once

#include <cstdint>
#include <opencv2/core/mat.hpp>
#include <string>
#include <string_view>
#include <vector>

#include "base/result.h"
#include "photo/decode.h"

namespace ribwright::photo {

struct RawPicture {
  cv::Mat pixels;     // CV_8UC3, CV_8UC4, CV_16UC3 or CV_16UC4
  bool grey = false;  // R = G = B throughout, by format
  std::vector<std::uint8_t> exif;
  std::vector<std::uint8_t> icc;
  bool icc_refused = false;  // there is a profile, and the codec found it unusable
  bool upright = false;      // the codec has applied the orientation itself
};

// What every reader needs.
struct ReadContext {
  std::string_view name;
  const DecodeOptions& options;
};

// An error when the header asks for more pixels than allowed; also guards rows against overflow.
Status CheckPixels(std::uint64_t width, std::uint64_t height, const ReadContext& context);
tl::unexpected<Error> Truncated(const ReadContext& context);
tl::unexpected<Error> Corrupt(const ReadContext& context, std::string_view detail);
tl::unexpected<Error> Unsupported(const ReadContext& context, std::string_view detail);
tl::unexpected<Error> Animated(const ReadContext& context);

Result<RawPicture> ReadJpeg(std::span<const std::uint8_t> bytes, const ReadContext& context);
Result<RawPicture> ReadPng(std::span<const std::uint8_t> bytes, const ReadContext& context);
Result<RawPicture> ReadWebp(std::span<const std::uint8_t> bytes, const ReadContext& context);

}  // namespace ribwright::photo
