// SPDX-License-Identifier: Apache-2.0
// One phantom photo: rendered, judged by the program on disk, compared with its truth.
//
// The program gets what a careful user would enter: the thickness within 1 mm (uniform, by seed),
// the printed ruler's length to half a millimetre, the patches as a colour meter reads them, and
// half an hour's bloom. Bare: the photo alone. Compared is the largest true face, against the
// judged face that overlaps it most; an overlap under half is a face not found.
#pragma once

#include <cstdint>
#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "base/result.h"
#include "phantom/recipe.h"
#include "units/measured.h"

namespace ribwright::bench {

struct CaseOptions {
  std::filesystem::path binary;
  std::filesystem::path store;  // of StoreFor(): the phantoms
  std::filesystem::path work;   // for what the program writes
  bool enter_ruler = true;
  bool enter_values = true;  // of the patches
  bool also_bare = true;
  bool keep = false;  // leave the program's JSON in `work`
};

struct Reading {
  std::optional<double> truth;     // nothing: no such part on this face
  std::optional<Measured> judged;  // nothing: refused, or no such part found
};

// What the report says of the photo that bears on doubt.
struct Causes {
  Measured px_per_mm;
  double unreadable_pct = 0.0;
  std::optional<double> sharpness;
  std::optional<double> disagreement;  // points between the two ways of finding fat
  std::vector<std::string> warnings;   // codes
};

struct CaseResult {
  std::uint64_t seed = 0;
  phantom::Difficulty difficulty = phantom::Difficulty::kMixed;
  phantom::Cut cut = phantom::Cut::kRib;
  std::string refusal;            // the error's code, "no_overlap", or empty
  std::vector<Reading> readings;  // in the order of Quantities()
  Causes causes;
  std::vector<Reading> bare;
  Causes bare_causes;
  double face_iou = 0.0;
  double eye_iou = 0.0;
  double cap_thickest_mm = 0.0;  // truth; 0: no cap
  double cap_iou = 0.0;
  bool cap_called = false;
  std::optional<double> global_error;  // of the threshold baselines, points
  std::optional<double> local_error;
  double render_s = 0.0;
  double judge_s = 0.0;
};

// Fails only when the phantom cannot be rendered or the program cannot be run at all.
Result<CaseResult> RunCase(std::uint64_t seed, phantom::Difficulty difficulty,
                           const CaseOptions& options);

}  // namespace ribwright::bench
