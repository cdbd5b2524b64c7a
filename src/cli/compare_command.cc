// SPDX-License-Identifier: Apache-2.0
#include "cli/compare_command.h"

#include <CLI/CLI.hpp>
#include <algorithm>
#include <cstdio>
#include <memory>
#include <string>
#include <thread>

#include "base/files.h"
#include "cli/commands.h"
#include "cli/judge_arguments.h"
#include "cli/program.h"
#include "face/measure.h"
#include "programme/compare.h"
#include "programme/judge.h"
#include "programme/words.h"
#include "report/json.h"

namespace ribwright::cli {
namespace {

struct CompareArguments {
  std::string first;
  std::string second;
  bool json = false;
  std::size_t face = 1;
  std::size_t other_face = 1;
  JudgeArguments photo;
};

bool LooksLikeJson(const std::vector<std::uint8_t>& bytes) {
  const auto first = std::find_if(bytes.begin(), bytes.end(), [](std::uint8_t b) {
    return b != ' ' && b != '\t' && b != '\n' && b != '\r';
  });
  return first != bytes.end() && *first == '{';
}

// A judged photo with at least one face.
Result<report::PhotoReport> ReadSide(const std::string& path,
                                     const programme::JudgeOptions& options) {
  const auto bytes = ReadFileLimited(path, 64'000'000);
  if (!bytes) return Fail(bytes.error());
  report::PhotoReport report;
  if (LooksLikeJson(*bytes)) {
    auto read = report::FromJson({reinterpret_cast<const char*>(bytes->data()), bytes->size()});
    if (!read) {
      Error error = read.error();
      error.where = path + ": " + error.where;
      return Fail(error);
    }
    report = std::move(*read);
  } else {
    report = programme::JudgePhoto(*bytes, path, options, face::Measure).report;
  }
  if (report.error) return Fail(*report.error);
  if (report.faces.empty()) {
    return Fail(Code::kNoFace, "There is no face to compare.", path,
                "Give a photo, or JSON, with at least one face.");
  }
  return report;
}

Result<report::Face> PickFace(const report::PhotoReport& report, std::size_t number,
                              const char* option) {
  const std::size_t faces = report.faces.size();
  if (number >= 1 && number <= faces) return report.faces[number - 1];
  return Fail(Code::kBadOption,
              programme::Joined({report.photo, " has ", std::to_string(faces),
                                 faces == 1 ? " face." : " faces."}),
              option,
              faces == 1
                  ? std::string("Give 1, or leave it out.")
                  : programme::Joined({"Give 1, the largest, to ", std::to_string(faces), "."}));
}

int RunCompare(const CompareArguments& arguments, units::System units) {
  auto options = OptionsFrom(arguments.photo);
  const auto refuse = [](const Error& error) {
    PrintError(error);
    return ExitOf(error);
  };
  if (!options) return refuse(options.error());
  options->threads = static_cast<int>(std::max(1U, std::thread::hardware_concurrency()));
  const auto first = ReadSide(arguments.first, *options);
  if (!first) return refuse(first.error());
  const auto second = ReadSide(arguments.second, *options);
  if (!second) return refuse(second.error());
  const auto face = PickFace(*first, arguments.face, "--face");
  if (!face) return refuse(face.error());
  const auto other = PickFace(*second, arguments.other_face, "--other-face");
  if (!other) return refuse(other.error());
  const programme::Comparison comparison = programme::CompareFaces(*face, *other, units);
  const programme::CompareSide side{first->photo, arguments.face, first->faces.size()};
  const programme::CompareSide other_side{second->photo, arguments.other_face,
                                          second->faces.size()};
  std::string text;
  if (arguments.json) {
    text = programme::CompareJson(comparison, side, other_side, false);
    text += '\n';
  } else {
    text = programme::CompareTable(comparison, side, other_side, units);
  }
  std::fwrite(text.data(), 1, text.size(), stdout);
  return kExitDone;
}

}  // namespace

void AddCompareCommand(CLI::App& app, int& exit_code) {
  auto arguments = std::make_shared<CompareArguments>();
  CLI::App* command = app.add_subcommand("compare", "Put two faces side by side");
  command->add_option("first", arguments->first, "A photo, or JSON that the judge wrote")
      ->type_name("FIRST")
      ->required();
  command->add_option("second", arguments->second, "Another one")->type_name("SECOND")->required();
  command->add_flag("--json", arguments->json, "Print JSON");
  command->add_option("--face", arguments->face, "Which face of FIRST; 1 is the largest")
      ->type_name("N")
      ->check(CLI::Range(1, 1000))
      ->capture_default_str();
  command->add_option("--other-face", arguments->other_face, "Which face of SECOND")
      ->type_name("N")
      ->check(CLI::Range(1, 1000))
      ->capture_default_str();
  AddPhotoOptions(*command, arguments->photo);
  AddMeasureOptions(*command, arguments->photo, "What you know of both photos");
  command->callback(
      [&app, &exit_code, arguments] { exit_code = RunCompare(*arguments, UnitsOf(app)); });
}

}  // namespace ribwright::cli
