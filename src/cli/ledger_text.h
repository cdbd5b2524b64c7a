// SPDX-License-Identifier: Apache-2.0
// What the ledger knows as lines for a terminal.
#pragma once

#include <string>
#include <vector>

#include "ledger/port.h"
#include "units/format.h"

namespace ribwright::cli {

// "1234 g", or "2.72 lb" (to a hundredth).
std::string MassText(units::Mass mass, units::System system);

std::string PieceText(const ledger::Piece& piece, units::System system);
std::string PageText(const ledger::PiecePage& page, units::System system);
std::string TraceText(const ledger::Trace& trace, units::System system);
std::string StockText(const std::vector<ledger::StockLine>& stock, units::System system);
std::string CountText(const ledger::StockCount& count, units::System system);
std::string EventText(const ledger::EventView& view);

}  // namespace ribwright::cli
