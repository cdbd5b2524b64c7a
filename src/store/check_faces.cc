// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <algorithm>
#include <nlohmann/json.hpp>

#include "store/check_parts.h"

namespace ribwright::store {
namespace {

// As event_side_rows.cc writes it beside the report.
bool IsOf(const nlohmann::json& report, const char* key, std::string_view column) {
  const auto faces = report.find("faces");
  if (faces == report.end() || !faces->is_array() || faces->empty()) return false;
  const auto value = faces->front().find(key);
  return value != faces->front().end() && value->dump() == column;
}

}  // namespace

Result<std::int64_t> CheckFaces(Connection& connection, const JudgedFaces& judged,
                                const TellFault& fault) {
  auto rows = connection.Prepare("SELECT event, piece, marbling, area, report FROM face");
  if (!rows) return Fail(rows.error());
  std::int64_t count = 0;
  for (;;) {
    const auto row = rows->Step();
    if (!row) return Fail(row.error());
    if (!*row) break;
    ++count;
    const std::string where = fmt::format("event {}", rows->Int(0));
    const auto found = judged.by_event.find(rows->Int(0));
    if (found == judged.by_event.end() || found->second.report != ledger::HashOf(rows->Text(4))) {
      fault("The report of a judged face is not the one that was chained.", where);
      continue;
    }
    if (found->second.piece.value != rows->Int(1)) {
      fault("A judged face lies with another piece than its event says.", where);
    }
    const auto report = nlohmann::json::parse(rows->Text(4), nullptr, false);
    if (!IsOf(report, "marbling_pct", rows->Text(2)) || !IsOf(report, "area", rows->Text(3))) {
      fault("The numbers kept beside a judged face are not those of its report.", where);
    }
  }
  if (count != static_cast<std::int64_t>(judged.by_event.size())) {
    fault("A judged face's report is missing.", "table face");
  }
  return count;
}

Status CheckJudgings(Connection& connection, const JudgedFaces& judged, const TellFault& fault) {
  {
    auto table = connection.Prepare("SELECT 1 FROM sqlite_schema WHERE name = 'judging'");
    if (!table) return Fail(table.error());
    const auto there = table->Step();
    if (!there) return Fail(there.error());
    if (!*there) return {};
  }
  auto rows = connection.Prepare(
      "SELECT j.id, p.hash, j.report FROM judging AS j JOIN photo AS p ON p.id = j.photo");
  if (!rows) return Fail(rows.error());
  for (;;) {
    const auto row = rows->Step();
    if (!row) return Fail(row.error());
    if (!*row) return {};
    ledger::Hash photo;
    const auto blob = rows->Blob(1);
    std::copy_n(blob.begin(), std::min(blob.size(), photo.bytes.size()), photo.bytes.begin());
    const auto named = judged.by_name.find({photo, std::to_string(rows->Int(0))});
    if (named == judged.by_name.end()) continue;  // never kept with a piece
    if (!named->second.contains(ledger::HashOf(rows->Text(2)))) {
      fault("The report of a judged face is not the one that was chained with its piece.",
            fmt::format("face {}", rows->Int(0)));
    }
  }
}

}  // namespace ribwright::store
