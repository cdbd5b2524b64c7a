// SPDX-License-Identifier: Apache-2.0
// `ribwright ledger`: write events from JSON lines; show pieces, traces, stock, events, counts.
#pragma once

namespace CLI {
class App;
}

namespace ribwright::cli {

void AddLedgerCommand(CLI::App& app, int& exit_code);

}  // namespace ribwright::cli
