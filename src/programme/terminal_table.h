// SPDX-License-Identifier: Apache-2.0
// A judged photo as a table for a terminal of 80 columns: every number with its 90 % interval and
// unit, odds with the sentence that belongs to them, cautions last. `explain` adds under each
// number how its interval was made. Text is UTF-8 and ends in a newline; no colours, no cursor
// movements, so that it may go into a file.
#pragma once

#include <string>

#include "report/photo_report.h"
#include "units/format.h"

namespace ribwright::programme {

struct TableOptions {
  units::System units = units::System::kMetric;
  bool explain = false;
};

std::string TerminalTable(const report::PhotoReport& report, const TableOptions& options);

// One line a photo, for long lists: eye marbling, likeliest degree, cautions; or the error.
std::string TerminalLine(const report::PhotoReport& report);

// `text` in lines of at most `width` columns, later lines indented by `indent` spaces.
std::string Wrapped(const std::string& text, std::size_t width, std::size_t indent);

}  // namespace ribwright::programme
