// SPDX-License-Identifier: Apache-2.0
#include "cli/card_command.h"

#include <CLI/CLI.hpp>
#include <cstdio>
#include <filesystem>
#include <memory>
#include <string>

#include "base/check.h"
#include "base/files.h"
#include "cli/program.h"
#include "photo/card_pdf.h"

namespace ribwright::cli {
namespace {

struct CardArguments {
  std::string paper = "a4";
  std::string out = "card.pdf";
};

int RunCard(const CardArguments& arguments) {
  const auto paper = photo::PaperFromText(arguments.paper);
  RIBWRIGHT_CHECK(paper.has_value());  // the parser lets no other text through
  const auto page = photo::CardPdf(*paper);
  if (!page) {
    PrintError(page.error());
    return kExitFault;
  }
  if (arguments.out == "-") {
    const bool whole = std::fwrite(page->data(), 1, page->size(), stdout) == page->size() &&
                       std::fflush(stdout) == 0;
    if (whole) return kExitDone;
    PrintError({Code::kOutputUnwritable, "The page could not be written.", "stdout",
                "Give a file with --out."});
    return kExitInput;
  }
  const Status written = WriteFileAtomically(std::filesystem::path(arguments.out), *page);
  if (!written) {
    PrintError(written.error());
    return kExitInput;
  }
  std::printf(
      "%s: print at 100 %% on %s paper, measure the ruler and enter what you read "
      "(--card-ruler-mm).\n",
      arguments.out.c_str(), *paper == photo::Paper::kA4 ? "A4" : "letter");
  return kExitDone;
}

}  // namespace

void AddCardCommand(CLI::App& app, int& exit_code) {
  CLI::App* command = app.add_subcommand("card", "Print the scale-and-colour card (PDF)");
  const auto arguments = std::make_shared<CardArguments>();
  command->add_option("--paper", arguments->paper, "Paper: a4 or letter")
      ->check(CLI::IsMember({"a4", "letter"}))
      ->capture_default_str();
  command->add_option("--out", arguments->out, "PDF to write; - for stdout")->capture_default_str();
  command->callback([arguments, &exit_code] { exit_code = RunCard(*arguments); });
}

}  // namespace ribwright::cli
