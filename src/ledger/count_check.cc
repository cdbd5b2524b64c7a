// SPDX-License-Identifier: Apache-2.0
#include "ledger/count_check.h"

#include <fmt/format.h>

#include "ledger/mass_balance.h"
#include "units/format.h"

namespace ribwright::ledger {

Status CheckCount(const Counted& counted, units::UtcTime happened, const PieceLookup& before) {
  for (const CountLine& line : counted.lines) {
    const Piece* piece = before(line.piece);
    if (piece == nullptr || !line.found || !line.reason.empty()) continue;
    if (piece->basis == MassBasis::kStated || *line.found <= piece->mass) continue;
    if (happened < piece->mass_at) continue;
    const auto balance = BalanceOf({&piece->mass, 1}, {&*line.found, 1}, {}, {});
    if (!balance) return Fail(balance.error());
    if (balance->Closes()) continue;
    return Fail(
        Code::kMassGrew,
        fmt::format("{} was counted as {}, {} at {}: {} more, beyond the scales' tolerance "
                    "of {}.",
                    piece->code, units::GramsText(*line.found), units::GramsText(piece->mass),
                    units::TimeText(piece->mass_at), units::GramsText(*line.found - piece->mass),
                    units::GramsText(balance->tolerance)),
        fmt::format("piece {}", piece->code),
        "Check piece, tare and hook; if it is so, give the line a reason.");
  }
  return {};
}

}  // namespace ribwright::ledger
