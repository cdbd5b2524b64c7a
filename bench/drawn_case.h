// SPDX-License-Identifier: Apache-2.0
// One phantom of the bench: its photo on disk and what is known of it, rendered once and kept.
//
// STORE/FINGERPRINT/SEED_SET.jpg, .patches.csv, .json. The fingerprint is of the renderer's sources
// (bench/fingerprint.cmake), so a changed renderer draws anew; StoreFor() deletes what other
// fingerprints left. Numbers always come from the JSON file, kept or fresh, so both give the same
// rows. A file that cannot be read is drawn anew. Safe for several threads with different seeds.
#pragma once

#include <cstdint>
#include <filesystem>
#include <opencv2/core/matx.hpp>
#include <optional>
#include <string>

#include "base/result.h"
#include "phantom/recipe.h"
#include "report/photo_report.h"

namespace ribwright::bench {

struct DrawnCase {
  std::uint64_t seed = 0;
  phantom::Difficulty difficulty = phantom::Difficulty::kMixed;
  phantom::Cut cut = phantom::Cut::kRib;
  std::filesystem::path photo;
  std::filesystem::path patches;  // what a colour meter reads, as --card-values takes it
  report::PhotoReport truth;
  cv::Matx33d px_from_mm;  // of the largest face's plane
  double thickness_mm = 0.0;
  double ruler_mm = 0.0;
  std::optional<double> global_error;  // of plain thresholds told the true eye, points
  std::optional<double> local_error;
  double render_s = 0.0;
};

// The muscle by which a cut is judged.
report::MuscleName EyeOf(phantom::Cut cut);

std::filesystem::path StoreFor(const std::filesystem::path& store);

// Reads the case from `folder` (of StoreFor), or draws it there. Fails when it cannot be rendered
// or written.
Result<DrawnCase> EnsureDrawn(std::uint64_t seed, phantom::Difficulty difficulty,
                              const std::filesystem::path& folder);

}  // namespace ribwright::bench
