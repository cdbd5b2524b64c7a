// SPDX-License-Identifier: Apache-2.0
#include "cli/judge_command.h"

#include <CLI/CLI.hpp>
#include <cstdio>
#include <filesystem>
#include <memory>
#include <optional>
#include <string>
#include <thread>
#include <vector>

#include "cli/commands.h"
#include "cli/program.h"
#include "face/measure.h"
#include "grade/assess.h"
#include "programme/edits_file.h"
#include "programme/judge_files.h"
#include "programme/terminal_table.h"
#include "report/json.h"

namespace ribwright::cli {
namespace {

namespace fs = std::filesystem;

struct JudgeArguments {
  std::vector<std::string> photos;
  std::string framing = "face";
  std::string card = "auto";
  std::string method = "classical";
  std::string json;
  std::string overlay;
  std::string tissue;
  std::string sheet;
  std::string out;
  std::string edits;
  std::string maturity;
  std::string dark_cutting;
  std::string carcass;
  std::string house_spec;
  std::string rib_numbering;
  std::optional<double> thickness_mm;
  std::optional<double> px_per_mm;
  std::optional<double> card_ruler_mm;
  std::optional<double> bloom_min;
  bool explain = false;
};

template <typename T>
bool Take(Result<T> result, T& into, Error& error) {
  if (!result) {
    error = result.error();
    return false;
  }
  into = std::move(*result);
  return true;
}

template <typename T>
bool Take(Result<T> result, std::optional<T>& into, Error& error) {
  if (!result) {
    error = result.error();
    return false;
  }
  into = std::move(*result);
  return true;
}

// Words and files to options. The exit code is wrong usage for words, input for files.
std::optional<int> OptionsFrom(const JudgeArguments& a, programme::JudgeOptions& options) {
  options.framing = a.framing == "crop" ? face::Framing::kCrop : face::Framing::kFace;
  options.use_card = a.card == "auto";
  options.thickness_mm = a.thickness_mm;
  options.px_per_mm = a.px_per_mm;
  options.card_ruler_mm = a.card_ruler_mm;
  options.bloom_min = a.bloom_min;
  Error error;
  const auto failed = [&error](int code) {
    PrintError(error);
    return std::optional<int>(code);
  };
  if (!a.maturity.empty() &&
      !Take(grade::MaturityFromText(a.maturity), options.grade.maturity, error)) {
    return failed(kExitUsage);
  }
  if (!a.dark_cutting.empty() &&
      !Take(grade::DarkCuttingFromText(a.dark_cutting), options.grade.dark_cutting, error)) {
    return failed(kExitUsage);
  }
  if (!a.rib_numbering.empty() &&
      !Take(grade::RibNumberingFromText(a.rib_numbering), options.grade.rib_numbering, error)) {
    return failed(kExitUsage);
  }
  if (const Status ok = programme::CheckJudgeOptions(options); !ok) {
    error = ok.error();
    return failed(kExitUsage);
  }
  if (!a.carcass.empty() && !Take(grade::ReadCarcass(a.carcass), options.grade.carcass, error)) {
    return failed(kExitInput);
  }
  if (!a.house_spec.empty() &&
      !Take(grade::ReadHouseSpec(a.house_spec), options.grade.house_spec, error)) {
    return failed(kExitInput);
  }
  if (!a.edits.empty() && !Take(programme::ReadEdits(a.edits), options.edits, error)) {
    return failed(kExitInput);
  }
  return std::nullopt;
}

Result<std::vector<programme::JudgeJob>> JobsFrom(const JudgeArguments& a) {
  std::vector<fs::path> photos(a.photos.begin(), a.photos.end());
  std::vector<programme::JudgeJob> jobs;
  if (!a.out.empty()) {
    auto in_folder = programme::JobsInFolder(photos, a.out);
    if (!in_folder) return in_folder;
    jobs = std::move(*in_folder);
  } else {
    for (const fs::path& photo : photos) jobs.push_back({photo, {}});
  }
  const bool single = !a.overlay.empty() || !a.tissue.empty() || !a.sheet.empty() ||
                      (!a.json.empty() && a.json != "-") || !a.edits.empty();
  if (single && jobs.size() > 1) {
    return Fail(Code::kBadOption,
                "--json FILE, --overlay, --tissue, --sheet and --edits take one photo.",
                std::to_string(jobs.size()) + " photos were given",
                "Give one photo, or use --out FOLDER for several.");
  }
  if (single) {
    programme::JudgeOutputs& outputs = jobs.front().outputs;
    if (!a.json.empty() && a.json != "-") outputs.json = a.json;
    if (!a.overlay.empty()) outputs.overlay = a.overlay;
    if (!a.tissue.empty()) outputs.tissue = a.tissue;
    if (!a.sheet.empty()) outputs.sheet = a.sheet;
  }
  if (const Status ok = programme::CheckOutputs(jobs); !ok) return Fail(ok.error());
  return jobs;
}

int Judge(const JudgeArguments& a, units::System system) {
  programme::JudgeRun run;
  run.units = system;
  run.cores = static_cast<int>(std::max(1U, std::thread::hardware_concurrency()));
  if (const std::optional<int> code = OptionsFrom(a, run.options)) return *code;
  const auto jobs = JobsFrom(a);
  if (!jobs) {
    PrintError(jobs.error());
    return kExitUsage;
  }
  if (!a.out.empty()) {
    std::error_code failed;
    fs::create_directories(a.out, failed);
    if (failed) {
      PrintError({Code::kOutputUnwritable, "The folder cannot be made: " + failed.message() + ".",
                  a.out, "Choose another folder with --out."});
      return kExitInput;
    }
  }
  int code = kExitDone;
  const bool lines = a.json == "-";
  const bool many = jobs->size() > 1;
  programme::JudgeFiles(*jobs, run, face::Measure, [&](programme::JudgeDone done) {
    if (done.report.error || done.output_error) code = kExitInput;
    if (done.output_error) PrintError(*done.output_error);
    if (lines) {
      std::printf("%s\n", report::ToJson(done.report, false).c_str());
    } else if (done.report.error) {
      PrintError(*done.report.error);
    } else if (many) {
      std::fputs(programme::TerminalLine(done.report).c_str(), stdout);
    } else {
      std::fputs(programme::TerminalTable(done.report, {system, a.explain}).c_str(), stdout);
    }
    std::fflush(stdout);
  });
  return code;
}

}  // namespace

void AddJudgeCommand(CLI::App& app, int& exit_code) {
  CLI::App* command = app.add_subcommand("judge", "Measure the cut faces in photos");
  auto a = std::make_shared<JudgeArguments>();
  command->add_option("PHOTO", a->photos, "JPEG, PNG, WebP or HEIC")->required();
  command->add_option("--framing", a->framing, "face: whole cut faces; crop: nothing but meat")
      ->check(CLI::IsMember({"face", "crop"}))
      ->capture_default_str();
  command->add_option("--card", a->card, "auto: look for the printed card; none: do not")
      ->check(CLI::IsMember({"auto", "none"}))
      ->capture_default_str();
  command->add_option("--method", a->method, "How fat is found")
      ->check(CLI::IsMember({"classical"}))
      ->capture_default_str();
  command->add_option("--json", a->json, "Write the numbers to FILE, or - for one line a photo");
  command->add_option("--overlay", a->overlay, "Write a PNG of what was taken as what");
  command->add_option("--tissue", a->tissue, "Write the tissue map, a PNG of codes 0 to 5");
  command->add_option("--sheet", a->sheet, "Write a one-page PDF");
  command->add_option("--out", a->out, "Folder for each photo's JSON, tissue map and overlay");
  command->add_option("--edits", a->edits, "JSON with outlines to measure instead");
  command->add_option("--thickness-mm", a->thickness_mm, "How far the face lies above the card");
  command->add_option("--px-per-mm", a->px_per_mm, "Scale of a photo from straight above");
  command->add_option("--card-ruler-mm", a->card_ruler_mm, "What the card's ruler measures");
  command->add_option("--bloom-min", a->bloom_min, "Minutes since the face was cut");
  command->add_option("--maturity", a->maturity, "A to E, where known");
  command->add_option("--dark-cutting", a->dark_cutting, "How dark the cutter, where known");
  command->add_option("--carcass", a->carcass, "File of carcass data, for yield grade");
  command->add_option("--house-spec", a->house_spec, "File of the house's own limits");
  command->add_option("--rib-numbering", a->rib_numbering, "How the house counts its ribs");
  command->add_flag("--explain", a->explain, "Say under each number how its interval was made");
  command->callback([a, &app, &exit_code] { exit_code = Judge(*a, UnitsOf(app)); });
}

}  // namespace ribwright::cli
