// SPDX-License-Identifier: Apache-2.0
// Three months of an invented steakhouse, written through the ledger's port.
//
// Deliveries twice a week, ribs that hang 28 to 75 days and are weighed each week, steaks cut,
// cooked, served, sold over the counter, trim joined to grind, a count each Monday with its
// variances, slips that are corrected or voided, par levels. House, suppliers and lots are
// invented; users are called by their role. Weights follow a square-root-of-days loss and usual
// trim shares (`assumed`, for show only: the ageing model is elsewhere). The same seed and end give
// the same history (times of writing aside). About 1700 events. Errors: those of the port; what was
// written until then stays.
#pragma once

#include <cstdint>

#include "base/result.h"
#include "ledger/port.h"
#include "units/utc_time.h"

namespace ribwright::programme {

struct DemoHistory {
  std::int64_t events = 0;
  std::int64_t pieces = 0;
  int days = 0;
};

// The last event happens before `end`, which must not be later than the ledger's clock.
Result<DemoHistory> WriteDemoHistory(ledger::Writer& writer, units::UtcTime end,
                                     std::uint64_t seed);

}  // namespace ribwright::programme
