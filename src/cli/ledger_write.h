// SPDX-License-Identifier: Apache-2.0
// `ribwright ledger write FILE`: events as JSON, one a line (docs/format/ledger.md).
#pragma once

namespace CLI {
class App;
}

namespace ribwright::cli {

void AddLedgerWriteCommand(CLI::App& ledger, int& exit_code);

}  // namespace ribwright::cli
