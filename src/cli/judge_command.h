// SPDX-License-Identifier: Apache-2.0
// `ribwright judge PHOTO…`: photos to numbers, pictures and pages.
#pragma once

namespace CLI {
class App;
}

namespace ribwright::cli {

void AddJudgeCommand(CLI::App& app, int& exit_code);

}  // namespace ribwright::cli
