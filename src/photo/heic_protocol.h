// SPDX-License-Identifier: Apache-2.0
// What the HEIC helper writes on its standard output: one Header, then `exif_bytes` of EXIF,
// `icc_bytes` of colour profile and, row by row without gaps, width x height pixels of R, G, B (8
// bit). When status is not kDone every size is 0 and nothing follows. Numbers are in this machine's
// own byte order: both ends of the pipe run on it. Arguments: ribwright-heic MAX_PIXELS MAX_BYTES.
#pragma once

#include <cstdint>

namespace ribwright::heic {

enum class HelperStatus : std::uint32_t {
  kDone = 0,
  kTruncated = 1,
  kCorrupt = 2,
  kTooLarge = 3,
  kAnimated = 4,
  kUnsupported = 5,
};

constexpr std::uint32_t kMagic = 0x31485752;        // "RWH1"
constexpr std::uint32_t kMostMetadata = 8'000'000;  // bytes of EXIF, and of profile

struct Header {
  std::uint32_t magic = kMagic;
  HelperStatus status = HelperStatus::kDone;
  std::uint32_t width = 0;
  std::uint32_t height = 0;
  std::uint32_t exif_bytes = 0;
  std::uint32_t icc_bytes = 0;
};
static_assert(sizeof(Header) == 24);

}  // namespace ribwright::heic
