// SPDX-License-Identifier: Apache-2.0
// What the program knows, as the objects of the API's schemas (the function's name says which).
// Pure, thread-safe.
#pragma once

#include <map>
#include <string>

#include "ledger/port.h"
#include "server/accounts.h"
#include "server/json.h"
#include "server/judge_desk.h"
#include "server/photo_book.h"

namespace ribwright::server {

Json UserJson(const User& user);
Json SessionJson(const Session& session);
Json PhotoJson(const PhotoRow& photo);
Json JobJson(const JobView& job);
Json FaceLineJson(const JudgingRow& judging);
Json FaceJson(const JudgingRow& judging, const std::map<std::string, ledger::Hash>& layers);
Json PieceJson(const ledger::Piece& piece, units::UtcTime now);
Json PiecesJson(const std::vector<ledger::Piece>& pieces, units::UtcTime now);
Json EventJson(const ledger::EventView& view);
Json ReceiptJson(const ledger::Receipt& receipt, units::UtcTime now);
Json StockRowJson(const ledger::StockLine& line);
Json ParJson(const ledger::Par& par);
Json CountJson(const ledger::StockCount& count);

}  // namespace ribwright::server
