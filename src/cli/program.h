// SPDX-License-Identifier: Apache-2.0
// The program's frame: common options, the list of subcommands, exit codes.
//
// A subcommand is one file with `void AddXCommand(CLI::App& app, int& exit_code)`: it adds itself
// to `app` and, from its callback, sets exit_code. Common options may stand before or after the
// subcommand; a callback reads them with UnitsOf(app). Errors of input go to stderr through
// PrintError, results to stdout.
#pragma once

#include <string_view>

#include "base/result.h"

namespace CLI {
class App;
}

namespace ribwright::cli {

inline constexpr int kExitDone = 0;
inline constexpr int kExitInput = 1;  // the input cannot be used
inline constexpr int kExitUsage = 2;  // wrong usage
inline constexpr int kExitFault = 3;  // a fault of ours

// kExitUsage for kBadOption, kExitFault for kInternal, else kExitInput.
int ExitOf(const Error& error);

int RunProgram(int argc, char** argv);

// What is wrong, where, and how to mend it, on stderr.
void PrintError(const Error& error);

}  // namespace ribwright::cli
