// SPDX-License-Identifier: Apache-2.0
// A user's edited outlines from JSON (docs/format/edits.md): the shape of a judged face's JSON, of
// which only faces[].outline_px and faces[].muscles[].{name,outline_px} are read, so that a judged
// JSON with moved points serves as it is. Either every face has outline_px (they replace those
// found) or none has (those found stay). Error: kEditsUnusable, with the place inside the JSON in
// `where`.
#pragma once

#include <filesystem>
#include <opencv2/core/types.hpp>
#include <string_view>

#include "base/result.h"
#include "face/measure.h"

namespace ribwright::programme {

Result<face::Edits> ParseEdits(std::string_view text);
Result<face::Edits> ReadEdits(const std::filesystem::path& path);

// Every point must lie in the photo or at most one pixel outside.
Status CheckEditsInPhoto(const face::Edits& edits, cv::Size photo);

}  // namespace ribwright::programme
