// SPDX-License-Identifier: Apache-2.0
// `ribwright price …`: served cost, yield tests, joint products, prices, menu, what to order.
#pragma once

namespace CLI {
class App;
}

namespace ribwright::cli {

void AddPriceCommand(CLI::App& app, int& exit_code);

}  // namespace ribwright::cli
