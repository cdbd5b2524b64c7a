// SPDX-License-Identifier: Apache-2.0
// What the judge's child process is asked, and what it answers, as data.
//
// JudgeTask carries the options as the API spells them (components/schemas/JudgeOptions), the
// house's settings that bear on judging, and the outlines of an edit. TaskToJson and TaskFromJson
// are inverse; OptionsOf turns a task into the use case's options. Errors: kBadOption (where: the
// key), kEditsUnusable, kHouseSpecUnusable.
#pragma once

#include <string>

#include "base/result.h"
#include "programme/judge.h"
#include "server/json.h"

namespace ribwright::server {

struct JudgeTask {
  std::string photo_name;
  Json options = Json::object();  // JudgeOptions of the API
  std::string house_spec;         // CSV; empty: none
  std::optional<double> card_ruler_mm;
  std::string edits;          // JSON as docs/format/edits.md; empty: none
  bool only_picture = false;  // decode and scale down, judge nothing
  bool quick = false;         // somebody waits: no picture of the photo again, no overlay
  int threads = 2;
};

Json TaskToJson(const JudgeTask& task);
Result<JudgeTask> TaskFromJson(const Json& json);
Result<programme::JudgeOptions> OptionsOf(const JudgeTask& task);

}  // namespace ribwright::server
