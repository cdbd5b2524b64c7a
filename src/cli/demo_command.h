// SPDX-License-Identifier: Apache-2.0
// `ribwright demo`: fills a new data folder with an invented steakhouse's three months.
#pragma once

namespace CLI {
class App;
}

namespace ribwright::cli {

void AddDemoCommand(CLI::App& app, int& exit_code);

}  // namespace ribwright::cli
