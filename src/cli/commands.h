// SPDX-License-Identifier: Apache-2.0
// The subcommands that exist, and the options they share. A new subcommand gets one line in
// commands.cc.
#pragma once

#include "units/format.h"

namespace CLI {
class App;
}

namespace ribwright::cli {

void AddCommands(CLI::App& app, int& exit_code);

// --units metric|us.
void AddCommonOptions(CLI::App& app);
units::System UnitsOf(const CLI::App& app);

}  // namespace ribwright::cli
