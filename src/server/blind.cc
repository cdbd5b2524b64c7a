// SPDX-License-Identifier: Apache-2.0
#include "server/blind.h"

#include <algorithm>

namespace ribwright::server {

bool IsBlind(const User& user) { return !May(user.role, Permission::kReadLedger); }

Json BlindReceiptJson(const ledger::Receipt& receipt) {
  Json json;
  json["event_id"] = std::to_string(receipt.event.number);
  json["code"] = receipt.pieces.empty() ? std::string() : receipt.pieces.front().code;
  json["repeated"] = receipt.repeated;
  return json;
}

Error BlindError(const Error& error) {
  switch (error.code) {
    // These speak of what was sent alone, or of the server.
    case Code::kRequestInvalid:
    case Code::kEntryUnusable:
    case Code::kPieceUnknown:
    case Code::kNotAllowed:
    case Code::kStoreFull:
    case Code::kStoreBusy:
      return error;
    default:
      break;
  }
  const auto table = CodeTable();
  const auto entry = std::find_if(table.begin(), table.end(),
                                  [&](const CodeEntry& one) { return one.code == error.code; });
  return {error.code, std::string(entry->meaning), "", "Ask whoever serves the sitting."};
}

}  // namespace ribwright::server
