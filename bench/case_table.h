// SPDX-License-Identifier: Apache-2.0
// Case results as a CSV for inspection, and as the rows that the limits are held against.
#pragma once

#include <span>
#include <string>
#include <vector>

#include "phantom_case.h"
#include "reach_rows.h"

namespace ribwright::bench {

// One line a case and variant: seed, what was found, and truth, value, low, high of every quantity.
std::string CasesAsCsv(std::span<const CaseResult> cases);

// The accuracy rows of the mixed set. Lean colour has a limit only with entered patch values.
std::vector<Row> AccuracyRows(std::span<const CaseResult> mixed, bool values_entered = true);
// Coverage and width of every quantity's interval on one set; bare: judged without thickness and
// values.
std::vector<Row> IntervalRows(const std::string& set, std::span<const CaseResult> cases);
std::vector<Row> BareRows(std::span<const CaseResult> cases);

}  // namespace ribwright::bench
