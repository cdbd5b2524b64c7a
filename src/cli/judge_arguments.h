// SPDX-License-Identifier: Apache-2.0
// What `judge` was asked on the command line, and its translation into the use case's terms.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/result.h"
#include "programme/judge_files.h"

namespace CLI {
class App;
}

namespace ribwright::cli {

struct JudgeArguments {
  std::vector<std::string> photos;
  std::string framing = "face";
  std::string card = "auto";
  std::string method = "learned";
  std::optional<std::string> json;
  std::optional<std::string> overlay;
  std::optional<std::string> tissue;
  std::optional<std::string> sheet;
  std::optional<std::string> out;
  std::optional<std::string> edits;
  std::optional<double> thickness_mm;
  std::optional<double> px_per_mm;
  std::optional<double> card_ruler_mm;
  std::optional<std::string> card_values;
  std::optional<double> bloom_min;
  std::optional<std::string> maturity;
  std::optional<std::string> dark_cutting;
  std::optional<std::string> carcass;
  std::optional<std::string> house_spec;
  std::string rib_numbering = "bones";
  bool explain = false;
};

// How one photo is read, and what gives it scale and colour; shared with `compare`.
void AddPhotoOptions(CLI::App& command, JudgeArguments& arguments);
void AddMeasureOptions(CLI::App& command, JudgeArguments& arguments, const char* group);
void AddJudgeOptions(CLI::App& command, JudgeArguments& arguments);

// Errors: kBadOption, and those of the files named (edits, carcass, house spec).
Result<programme::JudgeOptions> OptionsFrom(const JudgeArguments& arguments);
// Files that the arguments name beside those of the jobs.
programme::JudgeExtras ExtrasOf(const JudgeArguments& arguments);
// The jobs with their outputs; kBadOption where outputs clash with inputs or each other, or one
// file is asked for several photos.
Result<std::vector<programme::JudgeJob>> JobsFrom(const JudgeArguments& arguments);

}  // namespace ribwright::cli
