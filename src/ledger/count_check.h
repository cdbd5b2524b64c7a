// SPDX-License-Identifier: Apache-2.0
// What a count may say of a piece's mass before it is written: beef gains none. A line above the
// piece's last own weighing, beyond both scales' tolerance (as for a weighing, mass_balance.h),
// needs a reason in words: kMassGrew without. What was written before this rule stands, so it is no
// part of apply.h.
#pragma once

#include "base/result.h"
#include "ledger/apply.h"

namespace ribwright::ledger {

Status CheckCount(const Counted& counted, units::UtcTime happened, const PieceLookup& before);

}  // namespace ribwright::ledger
