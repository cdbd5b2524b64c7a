// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <cmath>

#include "case_table.h"
#include "quantities.h"

namespace ribwright::bench {
namespace {

// Of the cases where truth and value are both known.
struct Tally {
  int covered = 0;
  int known = 0;
  double width = 0.0;
  double error = 0.0;
};

Tally TallyOf(std::span<const CaseResult> cases, std::vector<Reading> CaseResult::*variant,
              std::size_t at) {
  Tally tally;
  for (const CaseResult& c : cases) {
    if ((c.*variant).empty()) continue;
    const Reading& reading = (c.*variant)[at];
    if (!reading.truth || !reading.judged || !reading.judged->Known()) continue;
    ++tally.known;
    // The program prints six digits, so truth on the very edge counts as held.
    const double slack = 1e-5 * std::abs(*reading.truth);
    if (reading.judged->low - slack <= *reading.truth &&
        *reading.truth <= reading.judged->high + slack) {
      ++tally.covered;
    }
    tally.width += reading.judged->high - reading.judged->low;
    tally.error += std::abs(*reading.judged->value - *reading.truth);
  }
  return tally;
}

void AddCoverage(std::vector<Row>& rows, const std::string& set, const Quantity& quantity,
                 const Tally& tally) {
  std::string name = fmt::format("{}, {}: 90 % interval covers", set, quantity.name);
  if (tally.known == 0) {
    rows.push_back(Skipped(std::move(name), "85.0 to 95.0 %", "never known"));
    return;
  }
  rows.push_back(Between(std::move(name), 100.0 * tally.covered / tally.known, 85.0, 95.0, "%", 1,
                         fmt::format("n {}", tally.known)));
}

}  // namespace

std::vector<Row> IntervalRows(const std::string& set, std::span<const CaseResult> cases) {
  std::vector<Row> rows;
  for (std::size_t i = 0; i < Quantities().size(); ++i) {
    const Quantity& quantity = Quantities()[i];
    const Tally tally = TallyOf(cases, &CaseResult::readings, i);
    AddCoverage(rows, set, quantity, tally);
    if (tally.known == 0) continue;
    rows.push_back(
        AtMost(fmt::format("{}, {}: mean width over mean error", set, quantity.name),
               tally.error > 0.0 ? tally.width / tally.error : INFINITY, 5.0, "", 1,
               fmt::format("mean error {:.3g} {}, width {:.3g}", tally.error / tally.known,
                           quantity.unit, tally.width / tally.known)));
  }
  return rows;
}

std::vector<Row> BareRows(std::span<const CaseResult> cases) {
  std::vector<Row> rows;
  for (std::size_t i = 0; i < Quantities().size(); ++i) {
    const Quantity& quantity = Quantities()[i];
    if (!quantity.wants_thickness && !quantity.wants_patch_values) continue;
    AddCoverage(rows, "mixed, nothing entered", quantity, TallyOf(cases, &CaseResult::bare, i));
  }
  return rows;
}

}  // namespace ribwright::bench
