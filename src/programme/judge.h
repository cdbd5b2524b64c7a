// SPDX-License-Identifier: Apache-2.0
// The use case: the bytes of a photo to what it says (PhotoReport) and its tissue map.
//
// Photo -> card (unless none is wanted, or the photo shows only meat) -> plane of the face and
// light
// -> faces -> grades, signs and house spec. Whatever cannot be used becomes the report's error;
// nothing is thrown for a photo's sake. A scale the user states goes before the card's.
// Deterministic; safe to call from several threads, about 40 bytes a pixel each.
#pragma once

#include <cstdint>
#include <functional>
#include <opencv2/core/mat.hpp>
#include <optional>
#include <span>
#include <string>

#include "base/result.h"
#include "face/measure.h"
#include "grade/assess.h"
#include "photo/card_values.h"
#include "report/photo_report.h"

namespace ribwright::programme {

struct JudgeOptions {
  face::Framing framing = face::Framing::kFace;
  face::MethodName method = face::MethodName::kLearned;
  bool use_card = true;
  std::optional<face::Edits> edits;
  std::optional<double> thickness_mm;            // of the piece on the board beside the card
  std::optional<double> px_per_mm;               // square-on, in the face's plane
  std::optional<double> card_ruler_mm;           // what the card's ruler measures on this print
  std::optional<photo::CardValues> card_values;  // colours of the card's patches, measured
  std::optional<double> bloom_min;               // minutes since cutting
  grade::GradeRequest grade;  // its bloom and colour state are filled by the judge
  int threads = 2;            // for this photo
};

// A stated thickness is taken to hold within 1 mm in nine cases of ten (assumed).
inline constexpr double kThicknessSdMm = 1.0 / 1.645;

// Error kBadOption: a number outside its range, or options that contradict each other; `where`
// names the option as on the command line.
Status CheckJudgeOptions(const JudgeOptions& options);

struct Judged {
  report::PhotoReport report;
  cv::Mat rgb;     // empty where the photo could not be read
  cv::Mat tissue;  // empty where there is no face
};

using MeasureFaces = std::function<Result<face::Outcome>(const face::Request&)>;

Judged JudgePhoto(std::span<const std::uint8_t> bytes, const std::string& name,
                  const JudgeOptions& options, const MeasureFaces& measure);

}  // namespace ribwright::programme
