// SPDX-License-Identifier: Apache-2.0
#include "cli/phantom_command.h"

#include <CLI/CLI.hpp>
#include <cstdint>
#include <filesystem>
#include <memory>
#include <string>
#include <system_error>

#include "base/files.h"
#include "cli/program.h"
#include "phantom/render.h"
#include "phantom/truth_json.h"
#include "photo/encode.h"

namespace ribwright::cli {
namespace {

struct PhantomOptions {
  std::uint64_t seed = 0;
  std::string cut;
  std::string difficulty = "mixed";
  std::string altered = "none";
  bool card = true;
  std::string out;
};

Status WritePhantom(const PhantomOptions& options) {
  phantom::RecipeOptions drawn;
  drawn.cut = phantom::CutFromText(options.cut);
  drawn.difficulty =
      phantom::DifficultyFromText(options.difficulty).value_or(phantom::Difficulty::kMixed);
  drawn.card = options.card;
  drawn.altered = phantom::AlteredFromText(options.altered).value_or(phantom::Altered::kNone);
  Result<phantom::Phantom> phantom = phantom::Render(phantom::DrawRecipe(options.seed, drawn));
  if (!phantom) return Fail(phantom.error());
  const std::filesystem::path folder(options.out);
  std::error_code failed;
  std::filesystem::create_directories(folder, failed);
  if (failed) {
    return Fail(Code::kOutputUnwritable, "The folder cannot be made: " + failed.message() + ".",
                options.out, "Choose another folder with --out.");
  }
  phantom->truth.photo = "photo.jpg";
  Result<std::vector<std::uint8_t>> tissue = photo::EncodePng(phantom->tissue);
  if (!tissue) return Fail(tissue.error());
  if (Status s = WriteFileAtomically(folder / "photo.jpg", phantom->jpeg); !s) return s;
  if (Status s = WriteFileAtomically(folder / "truth.tissue.png", *tissue); !s) return s;
  return WriteFileAtomically(folder / "truth.json", phantom::TruthJson(*phantom));
}

}  // namespace

void AddPhantomCommand(CLI::App& app, int& exit_code) {
  CLI::App* command = app.add_subcommand("phantom", "Render a test face with known truth");
  auto options = std::make_shared<PhantomOptions>();
  command->add_option("--seed", options->seed, "Decides everything drawn by chance")->required();
  command->add_option("--cut", options->cut, "rib, strip or sirloin (default: by seed)")
      ->check(CLI::IsMember({"rib", "strip", "sirloin"}));
  command->add_option("--difficulty", options->difficulty, "easy, mixed or hard")
      ->check(CLI::IsMember({"easy", "mixed", "hard"}))
      ->capture_default_str();
  command
      ->add_option("--altered", options->altered,
                   "A photo that should be refused or warned of: cooked, ground, empty, unfocused "
                   "or film")
      ->check(CLI::IsMember({"none", "cooked", "ground", "empty", "unfocused", "film"}))
      ->capture_default_str();
  command->add_flag("--card,!--no-card", options->card,
                    "Lay the card beside the meat (default: yes)");
  command
      ->add_option("--out", options->out, "Folder for photo.jpg, truth.tissue.png and truth.json")
      ->required();
  command->callback([options, &exit_code] {
    if (const Status done = WritePhantom(*options); !done) {
      PrintError(done.error());
      exit_code = kExitInput;
    }
  });
}

}  // namespace ribwright::cli
