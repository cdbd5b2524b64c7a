// SPDX-License-Identifier: Apache-2.0
// What a draft must be before any rule looks at it: limits of texts, masses and lists.
//
// Texts: valid UTF-8, no control characters (notes and words may have line breaks and tabs), no
// blank first or last; at most, in bytes: cut and location 60, code 40 (piece_code.h's symbols),
// supplier and to 80, lot 60, doneness and place 40, method 40, revision 80, face 64, media 60,
// reason 200, words 500, note 2000, user 64, key 128. cut, user, key, reason (of discarded,
// corrected, voided) and location (of moved) must not be empty. A piece's mass is above zero and at
// most 2 000 kg (`assumed`: heavier than any carcass); a remaining or lost mass may be zero. Lists:
// 1 to 200 inputs, 0 to 200 outputs, 0 to 20 losses, 0 to 5000 count lines; no piece twice. Scores
// are 0 to 100. Error: kEntryUnusable with the key in `where`.
#pragma once

#include "base/result.h"
#include "ledger/event.h"

namespace ribwright::ledger {

inline constexpr units::Mass kHeaviest = units::Mass::FromMilligrams(2'000'000'000);

Status CheckDraft(const Draft& draft);

}  // namespace ribwright::ledger
