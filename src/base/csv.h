// SPDX-License-Identifier: Apache-2.0
// CsvTable: comma-separated text as RFC 4180 describes it, read strictly.
//
// The first line is the header. Lines end in CRLF or LF (the last may end the text); a field that
// holds a comma, a quote or a line break stands in double quotes, a quote inside it is doubled.
// Nothing is trimmed. A UTF-8 byte-order mark is dropped, since spreadsheets write one. Refused,
// with line and column: a quote inside a bare field, text after a closing quote, an open quote at
// the end, a line with more or fewer fields than the header, an empty or repeated column name, a
// NUL byte, a lone carriage return, no header. Code of all errors: kDataUnusable (Read adds those
// of ReadFileLimited). Cells are text; Number() reads one as a finite decimal number with a point,
// the whole cell or an error.
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/result.h"

namespace ribwright {

// A finite number that is the whole text ("12", "-0.5", "1e-3"); no blanks, no thousands mark.
std::optional<double> NumberFromText(std::string_view text);

class CsvTable {
 public:
  // `name` says in errors where the text came from.
  static Result<CsvTable> Parse(std::string_view text, std::string name);
  static Result<CsvTable> Read(const std::filesystem::path& path);

  const std::vector<std::string>& header() const { return header_; }
  std::size_t rows() const { return rows_.size(); }
  std::optional<std::size_t> Column(std::string_view column) const;
  Result<std::size_t> RequiredColumn(std::string_view column) const;

  // row and column must exist.
  const std::string& Cell(std::size_t row, std::size_t column) const;
  Result<double> Number(std::size_t row, std::size_t column) const;
  // "prices.csv, line 3, column unit"
  std::string Where(std::size_t row, std::size_t column) const;
  const std::string& name() const { return name_; }

 private:
  struct Row {
    std::size_t line = 0;  // where it starts, from 1
    std::vector<std::string> cells;
  };
  std::string name_;
  std::vector<std::string> header_;
  std::vector<Row> rows_;
};

}  // namespace ribwright
