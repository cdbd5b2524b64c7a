// SPDX-License-Identifier: Apache-2.0
// `ribwright card --paper a4|letter [--out FILE.pdf]`: the card to print. Without --out the page
// goes to card.pdf in the current folder; "--out -" writes it to stdout.
#pragma once

namespace CLI {
class App;
}

namespace ribwright::cli {

void AddCardCommand(CLI::App& app, int& exit_code);

}  // namespace ribwright::cli
