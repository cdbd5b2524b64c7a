// SPDX-License-Identifier: Apache-2.0
// `ribwright judge`: photos of cut faces to numbers, JSON, pictures and sheets.
#pragma once

namespace CLI {
class App;
}

namespace ribwright::cli {

void AddJudgeCommand(CLI::App& app, int& exit_code);

}  // namespace ribwright::cli
