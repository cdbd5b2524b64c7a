// SPDX-License-Identifier: Apache-2.0
#include "cli/judge_arguments.h"

#include <CLI/CLI.hpp>

#include "cli/numbers.h"
#include "programme/edits_file.h"

namespace ribwright::cli {

using programme::JudgeJob;
using programme::JudgeOptions;

void AddPhotoOptions(CLI::App& command, JudgeArguments& a) {
  command
      .add_option("--framing", a.framing,
                  "face: whole cut faces on some ground; crop: nothing but meat, edge to edge")
      ->check(CLI::IsMember({"face", "crop"}))
      ->capture_default_str();
  command
      .add_option("--card", a.card,
                  "auto: use the printed card where it is seen; none: do not look")
      ->check(CLI::IsMember({"auto", "none"}))
      ->capture_default_str();
  command
      .add_option(
          "--method", a.method,
          "How faces, muscles and fat are found: learned on drawn phantoms, or classical rules")
      ->check(CLI::IsMember({"classical", "learned"}))
      ->capture_default_str();
}

void AddMeasureOptions(CLI::App& command, JudgeArguments& a, const char* known) {
  command
      .add_option("--thickness-mm", a.thickness_mm,
                  "Thickness of the piece beside the card, within 1 mm")
      ->type_name("MM")
      ->check(PlainNumber())  // the use case knows the range
      ->group(known);
  command.add_option("--px-per-mm", a.px_per_mm, "Scale, where no card lies in the photo")
      ->type_name("PX")
      ->check(PlainNumber())  // the use case knows the range
      ->group(known);
  command
      .add_option("--card-ruler-mm", a.card_ruler_mm,
                  "What the card's ruler of 150 mm measures on your print")
      ->type_name("MM")
      ->check(PlainNumber())  // the use case knows the range
      ->group(known);
  command
      .add_option("--card-values", a.card_values,
                  "Colours of the card's patches, measured (docs/format/card_values.md)")
      ->type_name("FILE")
      ->group(known);
  command.add_option("--bloom-min", a.bloom_min, "Minutes since the face was cut")
      ->type_name("MIN")
      ->check(PlainNumber())  // the use case knows the range
      ->group(known);
}

void AddJudgeOptions(CLI::App& command, JudgeArguments& a) {
  command.add_option("photos", a.photos, "Photos of cut faces: JPEG, PNG, WebP or HEIC")
      ->type_name("PHOTO...")
      ->required();
  AddPhotoOptions(command, a);
  const char* results = "What is written";
  command.add_option("--json", a.json, "The numbers as JSON; - is stdout, one object a line")
      ->type_name("FILE|-")
      ->group(results);
  command.add_option("--overlay", a.overlay, "The photo with what was seen painted over it")
      ->type_name("FILE.png")
      ->group(results);
  command.add_option("--tissue", a.tissue, "The tissue of each pixel, 8-bit codes")
      ->type_name("FILE.png")
      ->group(results);
  command.add_option("--sheet", a.sheet, "All on one page a face")
      ->type_name("FILE.pdf")
      ->group(results);
  command.add_option("--out", a.out, "A folder for JSON, overlay and tissue of every photo")
      ->type_name("DIR")
      ->group(results);
  command.add_flag("--explain", a.explain, "Say under each number how its interval was made")
      ->group(results);
  const char* known = "What you know of the piece and the photo";
  AddMeasureOptions(command, a, known);
  command.add_option("--edits", a.edits, "Outlines put right by hand (docs/format/edits.md)")
      ->type_name("FILE")
      ->group(known);
  command
      .add_option("--maturity", a.maturity, "Maturity A to E, or with units: A40; A if left out")
      ->type_name("A..E")
      ->group(known);
  command
      .add_option("--dark-cutting", a.dark_cutting,
                  "Parts of a grade: none, 1/3, 1/2, 2/3, full, or 0 to 1")
      ->type_name("PART")
      ->group(known);
  command.add_option("--carcass", a.carcass, "Carcass data (docs/format/carcass.md)")
      ->type_name("FILE")
      ->group(known);
  command.add_option("--house-spec", a.house_spec, "Your own limits (docs/format/house_spec.md)")
      ->type_name("FILE")
      ->group(known);
  command
      .add_option("--rib-numbering", a.rib_numbering,
                  "Ribs as bones 6 to 12, or 1 to 7 from the chuck or the loin end")
      ->check(CLI::IsMember({"bones", "from-chuck", "from-loin"}))
      ->capture_default_str()
      ->group(known);
}

namespace {

Status ReadFiles(const JudgeArguments& a, JudgeOptions& options) {
  if (a.edits) {
    auto edits = programme::ReadEdits(*a.edits);
    if (!edits) return Fail(edits.error());
    options.edits = std::move(*edits);
  }
  if (a.card_values) {
    auto values = photo::ReadCardValues(*a.card_values);
    if (!values) return Fail(values.error());
    options.card_values = std::move(*values);
  }
  if (a.carcass) {
    auto carcass = grade::ReadCarcass(*a.carcass);
    if (!carcass) return Fail(carcass.error());
    options.grade.carcass = std::move(*carcass);
  }
  if (a.house_spec) {
    auto spec = grade::ReadHouseSpec(*a.house_spec);
    if (!spec) return Fail(spec.error());
    options.grade.house_spec = std::move(*spec);
  }
  return {};
}

}  // namespace

Result<JudgeOptions> OptionsFrom(const JudgeArguments& a) {
  JudgeOptions options;
  options.framing = a.framing == "crop" ? face::Framing::kCrop : face::Framing::kFace;
  options.method =
      a.method == "learned" ? face::MethodName::kLearned : face::MethodName::kClassical;
  options.use_card = a.card == "auto";
  options.thickness_mm = a.thickness_mm;
  options.px_per_mm = a.px_per_mm;
  options.card_ruler_mm = a.card_ruler_mm;
  options.bloom_min = a.bloom_min;
  if (a.maturity) {
    const auto maturity = grade::MaturityFromText(*a.maturity);
    if (!maturity) return Fail(maturity.error());
    options.grade.maturity = *maturity;
  }
  if (a.dark_cutting) {
    const auto part = grade::DarkCuttingFromText(*a.dark_cutting);
    if (!part) return Fail(part.error());
    options.grade.dark_cutting = *part;
  }
  const auto numbering = grade::RibNumberingFromText(a.rib_numbering);
  if (!numbering) return Fail(numbering.error());
  options.grade.rib_numbering = *numbering;
  if (const Status range = CheckJudgeOptions(options); !range) return Fail(range.error());
  if (const Status files = ReadFiles(a, options); !files) return Fail(files.error());
  if (const Status whole = CheckJudgeOptions(options); !whole) return Fail(whole.error());
  return options;
}

programme::JudgeExtras ExtrasOf(const JudgeArguments& a) {
  programme::JudgeExtras extras;
  if (a.json && *a.json != "-") extras.outputs.emplace_back(*a.json);
  for (const auto* input : {&a.edits, &a.card_values, &a.carcass, &a.house_spec}) {
    if (*input) extras.inputs.emplace_back(**input);
  }
  return extras;
}

Result<std::vector<JudgeJob>> JobsFrom(const JudgeArguments& a) {
  const bool several = a.photos.size() > 1;
  for (const auto& [value, option] :
       {std::pair{&a.overlay, "--overlay"}, std::pair{&a.tissue, "--tissue"},
        std::pair{&a.sheet, "--sheet"}, std::pair{&a.edits, "--edits"}}) {
    if (several && *value) {
      return Fail(Code::kBadOption, "This option serves one photo, and several are given.", option,
                  "Give one photo, or --out DIR for a file of each.");
    }
  }
  std::vector<JudgeJob> jobs;
  if (a.out) {
    const std::vector<std::filesystem::path> photos(a.photos.begin(), a.photos.end());
    auto in_folder = programme::JobsInFolder(photos, *a.out);
    if (!in_folder) return Fail(in_folder.error());
    jobs = std::move(*in_folder);
  } else {
    for (const std::string& photo : a.photos) jobs.push_back({photo, {}});
  }
  if (!several) {
    programme::JudgeOutputs& outputs = jobs.front().outputs;
    if (a.overlay) outputs.overlay = *a.overlay;
    if (a.tissue) outputs.tissue = *a.tissue;
    if (a.sheet) outputs.sheet = *a.sheet;
  }
  if (const Status clash = programme::CheckOutputs(jobs, ExtrasOf(a)); !clash) {
    return Fail(clash.error());
  }
  return jobs;
}

}  // namespace ribwright::cli
