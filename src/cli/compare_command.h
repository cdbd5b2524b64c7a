// SPDX-License-Identifier: Apache-2.0
// `ribwright compare FIRST SECOND`: two faces side by side, from photos or from JSON that the judge
// wrote.
#pragma once

namespace CLI {
class App;
}

namespace ribwright::cli {

void AddCompareCommand(CLI::App& app, int& exit_code);

}  // namespace ribwright::cli
