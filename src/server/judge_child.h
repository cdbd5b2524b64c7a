// SPDX-License-Identifier: Apache-2.0
// One photo judged by a child process, from the server's side.
//
// JudgeInChild starts `program judge-worker`, feeds it, and reads its answer within `time`. Nothing
// that the child says is trusted: sizes, JSON and the pictures' first bytes are checked; text it
// made up as a report must fit schema ribwright.face/1. Errors: kJudgeCrashed (died, broke the
// protocol), kJudgeTimedOut, those of the task, and those of the photo. `stage` is called with each
// stage's name. Thread-safe; each call is a process.
#pragma once

#include <chrono>
#include <cstdint>
#include <filesystem>
#include <functional>
#include <map>
#include <span>
#include <string>
#include <vector>

#include "base/result.h"
#include "report/photo_report.h"
#include "server/judge_frames.h"
#include "server/judge_task.h"

namespace ribwright::server {

struct JudgeAnswer {
  std::string report_json;  // as the child wrote it; empty where only a picture was asked for
  report::PhotoReport report;
  std::map<FrameKind, std::vector<std::uint8_t>> pictures;
};

struct JudgeChildOptions {
  std::filesystem::path program;  // ribwright itself
  std::vector<std::string> arguments = {"judge-worker"};
  std::chrono::milliseconds time{60'000};  // ours: forty times what a usual photo takes
};

Result<JudgeAnswer> JudgeInChild(const JudgeChildOptions& options, const JudgeTask& task,
                                 std::span<const std::uint8_t> photo,
                                 const std::function<void(const std::string& stage)>& stage);

}  // namespace ribwright::server
