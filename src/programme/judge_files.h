// SPDX-License-Identifier: Apache-2.0
// Many photo files judged over the cores, their outputs written.
//
// At most `workers` photos are in memory at a time, one a worker; each worker reads, judges and
// writes its photo's outputs and lets go of it. `done` is called once a photo, in the order of the
// jobs, never twice at a time. With one worker the photo's stages use all cores, with more one core
// each (cv::setNumThreads, which holds for the whole program). Outputs appear whole or not at all.
// A photo that cannot be judged gets its JSON with the error, and pictures left there by an earlier
// run are removed, since they would show another photo.
#pragma once

#include <filesystem>
#include <functional>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "base/result.h"
#include "programme/judge.h"
#include "units/format.h"
#include "units/utc_time.h"

namespace ribwright::programme {

struct JudgeOutputs {
  std::optional<std::filesystem::path> json;
  std::optional<std::filesystem::path> tissue;
  std::optional<std::filesystem::path> overlay;
  std::optional<std::filesystem::path> sheet;
};

struct JudgeJob {
  std::filesystem::path photo;
  JudgeOutputs outputs;
};

struct JudgeRun {
  JudgeOptions options;
  units::System units = units::System::kMetric;
  int cores = 2;
  std::optional<units::UtcTime> now;  // for the sheet, where the photo does not say its time
};

struct JudgeDone {
  std::size_t index = 0;  // of the job
  report::PhotoReport report;
  std::optional<Error> output_error;  // the photo was judged, an output could not be written
};

// Jobs for several photos into one folder: <stem>.json, .tissue.png, .overlay.png. Errors:
// kBadOption, when two photos share a stem (where: the second) or an output would overwrite a
// photo.
Result<std::vector<JudgeJob>> JobsInFolder(std::span<const std::filesystem::path> photos,
                                           const std::filesystem::path& folder);
// Files beside the jobs' own: outputs for all photos together, inputs that are no photos.
struct JudgeExtras {
  std::vector<std::filesystem::path> outputs;
  std::vector<std::filesystem::path> inputs;
};
// kBadOption when an output would overwrite a photo, another input or another output.
Status CheckOutputs(std::span<const JudgeJob> jobs, const JudgeExtras& extras = {});
// kOutputUnwritable when an output has no folder to go to, may not be written there, or is a folder
// itself. To be asked before judging, which takes longer than people wait to hear of it.
Status CheckTargets(std::span<const JudgeJob> jobs, const JudgeExtras& extras = {});

void JudgeFiles(std::span<const JudgeJob> jobs, const JudgeRun& run, const MeasureFaces& measure,
                const std::function<void(JudgeDone)>& done);

}  // namespace ribwright::programme
