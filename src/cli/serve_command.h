// SPDX-License-Identifier: Apache-2.0
// `ribwright serve`, and the judge's child process that it starts (`judge-worker`, not for people).
#pragma once

namespace CLI {
class App;
}

namespace ribwright::cli {

void AddServeCommand(CLI::App& app, int& exit_code);
void AddJudgeWorkerCommand(CLI::App& app, int& exit_code);

}  // namespace ribwright::cli
