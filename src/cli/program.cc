// SPDX-License-Identifier: Apache-2.0
#include "cli/program.h"

#include <CLI/CLI.hpp>
#include <cstdio>

#include "cli/commands.h"

namespace ribwright::cli {

void PrintError(const Error& error) {
  std::fprintf(stderr, "ribwright: %s\n", error.message.c_str());
  if (!error.where.empty()) std::fprintf(stderr, "  where: %s\n", error.where.c_str());
  if (!error.mend.empty()) std::fprintf(stderr, "  mend:  %s\n", error.mend.c_str());
}

int ExitOf(const Error& error) {
  if (error.code == Code::kBadOption) return kExitUsage;
  return error.code == Code::kInternal ? kExitFault : kExitInput;
}

int RunProgram(int argc, char** argv) {
  CLI::App app{
      "Ribwright judges the cut face of a piece of beef from a photo: marbling, cover, colour and "
      "where "
      "along\nthe rib it was cut, each with its doubt.",
      "ribwright"};
  app.set_version_flag("--version", std::string("ribwright ") + RIBWRIGHT_VERSION);
  app.set_help_flag("-h,--help", "Print this help and exit");
  app.require_subcommand(1);
  app.fallthrough();
  AddCommonOptions(app);

  int exit_code = kExitDone;
  AddCommands(app, exit_code);
  try {
    app.parse(argc, argv);
  } catch (const CLI::ParseError& error) {
    return app.exit(error) == 0 ? kExitDone : kExitUsage;
  }
  return exit_code;
}

}  // namespace ribwright::cli
