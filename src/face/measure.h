// SPDX-License-Identifier: Apache-2.0
// The face stage: from an upright sRGB photo (and, where known, the plane of the cut face and its
// light) to faces with their tissue, muscles, cover and colour. Grades, signs and the house spec
// are not its matter.
#pragma once

#include <opencv2/core/mat.hpp>
#include <optional>
#include <string>
#include <vector>

#include "base/result.h"
#include "face/face_traits.h"
#include "photo/colour_reference.h"
#include "photo/plane.h"
#include "report/photo_report.h"
#include "report/tissue.h"

namespace ribwright::face {

enum class Framing {
  kFace,  // whole cut face(s) on some ground
  kCrop,  // nothing but meat, edge to edge
};

enum class MethodName { kClassical, kLearned };

// A user's correction: polygons in photo pixels that replace what was found.
struct Edits {
  std::vector<report::Outline> outlines;  // one a face; empty: keep those found
  struct MusclePolygon {
    int face = 0;  // index into outlines, or into the faces found
    report::MuscleName name = report::MuscleName::kOther;
    report::Outline outline;
  };
  std::vector<MusclePolygon> muscles;
};

struct Request {
  cv::Mat rgb;  // CV_8UC3, R G B, sRGB, upright
  Framing framing = Framing::kFace;
  MethodName method = MethodName::kLearned;
  std::optional<photo::Plane> plane;  // of the cut face; lengths are unknown without it
  photo::ColourReference colour;
  std::optional<double> bloom_min;  // minutes since cutting, where known
  cv::Mat ignore;                   // CV_8U, non-zero where no meat can be (the card); may be empty
  std::optional<Edits> edits;
};

struct Outcome {
  report::Method method;
  std::vector<report::Face> faces;  // largest first
  cv::Mat tissue;                   // CV_8U, report::Tissue, the photo's grid
  std::vector<report::Caution> warnings;
  std::vector<FaceTraits> traits;  // one a face, in the order of `faces`
};

// Errors: kNoFace, kNotRawMeat, kPhotoTooSmall, kEditsUnusable. Deterministic; safe to call from
// several threads at once (each call uses about 30 bytes a pixel).
Result<Outcome> Measure(const Request& request);

}  // namespace ribwright::face
