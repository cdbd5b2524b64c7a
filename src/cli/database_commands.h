// SPDX-License-Identifier: Apache-2.0
// `ribwright check-db`, `backup` and `restore`.
#pragma once

namespace CLI {
class App;
}

namespace ribwright::cli {

void AddDatabaseCommands(CLI::App& app, int& exit_code);

}  // namespace ribwright::cli
