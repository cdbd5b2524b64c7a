// SPDX-License-Identifier: Apache-2.0
// Runs the program's `judge` on one photo, as a user would, and reads the JSON that it wrote.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "base/result.h"
#include "report/photo_report.h"

namespace ribwright::bench {

// `json`: where the program writes; removed afterwards unless `keep`. A refusal is a report with an
// error; fails only when the program cannot be run, hangs for ten minutes or writes no report.
Result<report::PhotoReport> RunJudge(const std::filesystem::path& binary,
                                     const std::filesystem::path& photo,
                                     const std::vector<std::string>& entered,
                                     const std::filesystem::path& json, bool keep);

// Whether the program refused the photo or warned that it is nothing to trust: out of focus, under
// glare, no raw beef, no eye to be told. Other warnings (no card, maturity assumed) do not count.
bool RefusedOrWarned(const report::PhotoReport& report);

}  // namespace ribwright::bench
