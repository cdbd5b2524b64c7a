// SPDX-License-Identifier: Apache-2.0
// `ribwright offers …`: price lists, market reports, ranking, claims, sampling, deliveries.
#pragma once

namespace CLI {
class App;
}

namespace ribwright::cli {

void AddOffersCommand(CLI::App& app, int& exit_code);

}  // namespace ribwright::cli
