// SPDX-License-Identifier: Apache-2.0
// HEIC through a helper program, ribwright-heic: its codec runs in a process of its own and is
// never linked into this program. The photo goes to the helper's standard input, the pixels come
// back on its standard output (photo/heic_protocol.h).
//
// The helper is the one of DecodeOptions::heic_helper, else the file that the environment variable
// RIBWRIGHT_HEIC_HELPER names, else ribwright-heic beside the running program or in helpers/heic
// beside it. It is started without a shell, is killed when the time of DecodeOptions::heic_timeout
// is over, and no more is read from it than its header announces within max_pixels. The helper's
// codec turns the picture upright itself: EXIF orientation is not applied again. Errors:
// kHeicHelperMissing; kHeicHelperFailed (died, timed out, broke the protocol); and those the helper
// reports: kPhotoTruncated, kPhotoCorrupt, kPhotoTooLarge, kPhotoAnimated, kPhotoUnsupported.
#pragma once

#include "photo/raw_picture.h"

namespace ribwright::photo {

// Where the helper lies; empty when there is none.
std::filesystem::path FindHeicHelper(const DecodeOptions& options);

Result<RawPicture> ReadHeic(std::span<const std::uint8_t> bytes, const ReadContext& context);

}  // namespace ribwright::photo
