// SPDX-License-Identifier: Apache-2.0
// LooseCsv: lines of a table that others wrote, read one by one so that a broken line costs only
// itself. (base/csv.h reads our own tables, strictly, whole or not at all.)
//
// The delimiter is comma, semicolon or tab: the given one, or the one that splits the header most
// often. Quoted fields may hold delimiters, doubled quotes and line breaks. A quote that is never
// closed makes its line bad and reading goes on at the next line. A byte-order mark is dropped;
// fields are trimmed of blanks. Text must be UTF-8; a line that is not is bad. Empty lines are
// passed over. Cost: linear. Errors (of the whole): kDataUnusable, no header or over 16 MB.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/result.h"

namespace ribwright::costing {

struct BadLine {
  std::size_t line = 0;  // from 1, the header's line included
  std::string reason;    // ends with a full stop
  std::string text;      // its beginning, at most 120 bytes
};

struct LooseRow {
  std::size_t line = 0;
  std::vector<std::string> cells;  // as many as the header has
};

struct LooseTable {
  char delimiter = ',';
  std::vector<std::string> header;
  std::vector<LooseRow> rows;
  std::vector<BadLine> bad;
  std::optional<std::size_t> Column(std::string_view name) const;  // exact
};

Result<LooseTable> ReadLoose(std::string_view text, const std::string& name,
                             std::optional<char> delimiter = std::nullopt);

bool IsUtf8(std::string_view text);

// A number as price lists write it: blanks and thousands marks allowed, `decimal` is '.' or ','
// (the other one, and blanks, may group thousands: only in groups of three). Nothing else.
std::optional<double> LooseNumber(std::string_view text, char decimal);

}  // namespace ribwright::costing
