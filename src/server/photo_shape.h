// SPDX-License-Identifier: Apache-2.0
// Whether a received file can be a whole picture, by its outer shape alone: markers, chunks and
// boxes are walked, nothing is decoded, since pictures from outside are decoded in the judge's
// confined process only. So that a photo that can never be judged is refused while the one who
// sends it still stands at the block.
//
// JPEG (ITU-T T.81, annex B): markers up to the scan, the frame's components, an end after it.
// PNG (W3C PNG, 5.3): chunks up to IEND. WebP (RFC 9649): the size of the RIFF container. HEIC
// (ISO/IEC 14496-12, 4.2): boxes. Errors: kPhotoTruncated, kPhotoCmyk. What this finds no fault
// with may still be refused by the judge. Thread-safe.
#pragma once

#include <cstdint>
#include <span>

#include "base/result.h"
#include "photo/decode.h"

namespace ribwright::server {

Status CheckPhotoShape(std::span<const std::uint8_t> bytes, photo::PhotoFormat format);

}  // namespace ribwright::server
