// SPDX-License-Identifier: Apache-2.0
// What somebody who may not read the ledger hears of what they wrote: a taste is blind only while
// neither the answer nor a refusal tells the cut, the age or the cost behind the label.
#pragma once

#include "base/result.h"
#include "ledger/port.h"
#include "server/accounts.h"
#include "server/json.h"

namespace ribwright::server {

bool IsBlind(const User& user);
// The event's number, the label of its piece, whether it was there before.
Json BlindReceiptJson(const ledger::Receipt& receipt);
// A refusal without what it would tell of the piece.
Error BlindError(const Error& error);

}  // namespace ribwright::server
