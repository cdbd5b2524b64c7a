// SPDX-License-Identifier: Apache-2.0
// What the ledger knows as JSON, for `ribwright ledger --json` and others who want the ports'
// answers as they are: schema "ribwright.ledger/1" (docs/format/ledger.md). Masses in grams, money
// {"minor","currency"}, times RFC 3339. Thread-safe.
#pragma once

#include <nlohmann/json_fwd.hpp>
#include <vector>

#include "ledger/port.h"

namespace ribwright::ledger {

nlohmann::json ShowJson(const Piece& piece);
nlohmann::json ShowJson(const EventView& view);
nlohmann::json ShowJson(const Receipt& receipt);
nlohmann::json ShowJson(const PiecePage& page);
nlohmann::json ShowJson(const Trace& trace);
nlohmann::json ShowJson(const StockLine& line);
nlohmann::json ShowJson(const StockCount& count);
nlohmann::json ShowJson(const SearchHit& hit);

}  // namespace ribwright::ledger
