// SPDX-License-Identifier: Apache-2.0
// `ribwright cook …`: plan a cook, a ticket of several, follow a probe; hold and bath times,
// cooling logs, cautions for raw service.
#pragma once

namespace CLI {
class App;
}

namespace ribwright::cli {

void AddCookCommand(CLI::App& app, int& exit_code);

}  // namespace ribwright::cli
