// SPDX-License-Identifier: Apache-2.0
// Parts of check.h that its sources share. Each tells its faults through `fault` (what, where); an
// error is trouble with reading.
#pragma once

#include <cstdint>
#include <functional>
#include <map>
#include <set>
#include <string>
#include <utility>

#include "base/result.h"
#include "ledger/hash.h"
#include "ledger/piece.h"
#include "store/sqlite.h"

namespace ribwright::store {

using TellFault = std::function<void(std::string what, std::string where)>;

// The steps that were applied are this program's, and tables, indexes and triggers are those that
// these steps give.
Status CheckSchema(Connection& connection, const TellFault& fault);

// What the events say of judged faces.
struct JudgedFace {
  ledger::Hash report;
  ledger::PieceId piece;
};
struct JudgedFaces {
  std::map<std::int64_t, JudgedFace> by_event;
  // Photo and name of a face to its reports' hashes.
  std::map<std::pair<ledger::Hash, std::string>, std::set<ledger::Hash>> by_name;
};
// The table of faces against the events and against the reports in it. Its rows.
Result<std::int64_t> CheckFaces(Connection& connection, const JudgedFaces& judged,
                                const TellFault& fault);
// Reports that the server keeps, where an event chains them.
Status CheckJudgings(Connection& connection, const JudgedFaces& judged, const TellFault& fault);

}  // namespace ribwright::store
