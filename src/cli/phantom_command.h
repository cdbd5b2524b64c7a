// SPDX-License-Identifier: Apache-2.0
// `ribwright phantom`: renders a test face with known truth into a folder.
#pragma once

namespace CLI {
class App;
}

namespace ribwright::cli {

void AddPhantomCommand(CLI::App& app, int& exit_code);

}  // namespace ribwright::cli
