// SPDX-License-Identifier: Apache-2.0
// PhotoReport as JSON and back: schema "ribwright.face/1" (schema/face.schema.json,
// docs/format/face_json.md).
//
// ToJson writes one object; compact on one line, or pretty with two spaces and one line for each
// measured number and outline. Measured numbers carry six significant digits (the same rounding for
// value, low and high, so their order holds), outline points three decimals of a pixel, odds six
// decimals. Text that is not UTF-8 (a file name) gets U+FFFD in place of the bad bytes.
// imf_pct, marbling_degree, grade_odds, rib_position, signs and spec are left out when empty; odds
// tried in vain (no entries, but a basis) keep their key, with no entries and that basis as reason;
// signs that were not judged are an empty list beside signs_reason.
// A report with `error` holds nothing but schema, photo and error. A Measured that is not Valid(),
// a point or odds that are not finite: the caller's fault, LogicError.
//
// FromJson reads such an object strictly: required keys, types, intervals and names are checked,
// further keys are passed over. Error: kReportUnusable, with the place inside the JSON in `where`
// ("faces[0].area.low"). Thread-safe.
#pragma once

#include <string>
#include <string_view>

#include "base/result.h"
#include "report/photo_report.h"

namespace ribwright::report {

inline constexpr std::string_view kFaceSchema = "ribwright.face/1";

std::string ToJson(const PhotoReport& report, bool pretty);
Result<PhotoReport> FromJson(std::string_view text);

}  // namespace ribwright::report
