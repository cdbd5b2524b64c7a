// SPDX-License-Identifier: Apache-2.0
#include "cli/judge_command.h"

#include <CLI/CLI.hpp>
#include <algorithm>
#include <chrono>
#include <cstdio>
#include <filesystem>
#include <memory>
#include <string>
#include <system_error>
#include <thread>

#include "base/files.h"
#include "cli/commands.h"
#include "cli/judge_arguments.h"
#include "cli/program.h"
#include "cli/progress.h"
#include "face/measure.h"
#include "programme/judge_files.h"
#include "programme/terminal_table.h"
#include "programme/words.h"
#include "report/json.h"

namespace ribwright::cli {
namespace {

// Takes results one by one in order and puts them where they belong.
class Speaker {
 public:
  Speaker(const JudgeArguments& arguments, std::size_t photos, units::System units)
      : arguments_(arguments), photos_(photos), units_(units), progress_(photos) {}

  void Hear(const programme::JudgeJob& job, const programme::JudgeDone& done) {
    progress_.Clear();
    Say(job, done.report);
    if (done.report.error) Complain(*done.report.error);
    if (done.output_error) Complain(*done.output_error);
    std::fflush(stdout);
    progress_.Step();
  }

  int Finish() {
    progress_.Clear();
    if (arguments_.json && *arguments_.json != "-") {
      const Status written = WriteFileAtomically(*arguments_.json, json_);
      if (!written) Complain(written.error());
    }
    return exit_code_;
  }

 private:
  void Say(const programme::JudgeJob& job, const report::PhotoReport& report) {
    if (arguments_.json) {
      const bool to_file = *arguments_.json != "-";
      const std::string text = report::ToJson(report, to_file && photos_ == 1) + "\n";
      if (!to_file) {
        std::fwrite(text.data(), 1, text.size(), stdout);
        return;
      }
      json_ += text;
    }
    if (photos_ > 1) {
      Print(programme::TerminalLine(report));
    } else if (!report.error) {
      Print(programme::TerminalTable(report, {units_, arguments_.explain}));
      for (const auto* path : {&job.outputs.overlay, &job.outputs.tissue, &job.outputs.sheet}) {
        if (*path) Print(programme::Joined({"written: ", (*path)->string(), "\n"}));
      }
    }
  }

  static void Print(const std::string& text) { std::fwrite(text.data(), 1, text.size(), stdout); }

  void Complain(const Error& error) {
    PrintError(error);
    exit_code_ = std::max(exit_code_, ExitOf(error));
  }

  const JudgeArguments& arguments_;
  std::size_t photos_;
  units::System units_;
  Progress progress_;
  std::string json_;
  int exit_code_ = kExitDone;
};

int Refuse(const Error& error) {
  PrintError(error);
  return ExitOf(error);
}

int RunJudge(const JudgeArguments& arguments, units::System units) {
  const auto options = OptionsFrom(arguments);
  if (!options) return Refuse(options.error());
  const auto jobs = JobsFrom(arguments);
  if (!jobs) return Refuse(jobs.error());
  if (arguments.out) {
    std::error_code problem;
    std::filesystem::create_directories(*arguments.out, problem);
    if (problem) {
      return Refuse({Code::kOutputUnwritable,
                     programme::Joined({"The folder cannot be made: ", problem.message(), "."}),
                     *arguments.out, "Give a folder that you may write to."});
    }
  }
  if (const Status targets = programme::CheckTargets(*jobs, ExtrasOf(arguments)); !targets) {
    return Refuse(targets.error());
  }
  programme::JudgeRun run;
  run.options = *options;
  run.units = units;
  run.now = units::UtcTime{std::chrono::duration_cast<std::chrono::milliseconds>(
                               std::chrono::system_clock::now().time_since_epoch())
                               .count()};
  run.cores = static_cast<int>(std::max(1U, std::thread::hardware_concurrency()));
  Speaker speaker(arguments, jobs->size(), units);
  programme::JudgeFiles(*jobs, run, face::Measure, [&](const programme::JudgeDone& done) {
    speaker.Hear((*jobs)[done.index], done);
  });
  return speaker.Finish();
}

}  // namespace

void AddJudgeCommand(CLI::App& app, int& exit_code) {
  auto arguments = std::make_shared<JudgeArguments>();
  CLI::App* command = app.add_subcommand("judge", "Measure the cut faces in photos");
  AddJudgeOptions(*command, *arguments);
  command->callback(
      [&app, &exit_code, arguments] { exit_code = RunJudge(*arguments, UnitsOf(app)); });
}

}  // namespace ribwright::cli
