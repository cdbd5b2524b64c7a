// SPDX-License-Identifier: Apache-2.0
#include "base/csv.h"

#include <fmt/format.h>

#include <charconv>
#include <cmath>
#include <set>
#include <utility>

#include "base/check.h"
#include "base/files.h"

namespace ribwright {
namespace {

constexpr std::size_t kLargestTable =
    16'000'000;  // bytes; our own limit, far above any table we read

class Scanner {
 public:
  explicit Scanner(std::string_view text) : text_(text) {
    if (text_.starts_with("\xEF\xBB\xBF")) text_.remove_prefix(3);
  }
  bool AtEnd() const { return at_ >= text_.size(); }
  std::size_t line() const { return line_; }
  const std::string& problem() const { return problem_; }

  // One record's fields, or nothing and a problem.
  std::optional<std::vector<std::string>> Record() {
    std::vector<std::string> fields;
    for (;;) {
      std::string field;
      if (!Field(field)) return std::nullopt;
      fields.push_back(std::move(field));
      if (AtEnd()) return fields;
      if (text_[at_] == ',') {
        ++at_;
        continue;
      }
      if (EndOfLine()) return fields;
      problem_ = "text follows a closing quote";
      return std::nullopt;
    }
  }

 private:
  bool EndOfLine() {
    const std::size_t length = text_.substr(at_).starts_with("\r\n") ? 2
                               : text_[at_] == '\n'                  ? 1
                                                                     : 0;
    at_ += length;
    if (length > 0) ++line_;
    return length > 0;
  }

  bool Field(std::string& field) { return Peek('"') ? Quoted(field) : Bare(field); }
  bool Peek(char c) const { return at_ < text_.size() && text_[at_] == c; }

  bool Bare(std::string& field) {
    for (; at_ < text_.size(); ++at_) {
      const char c = text_[at_];
      if (c == ',' || c == '\n') return true;
      if (c == '\r') {
        if (text_.substr(at_).starts_with("\r\n")) return true;
        problem_ = "a carriage return stands alone";
        return false;
      }
      if (c == '"') problem_ = "a quote stands inside a field that is not quoted";
      if (c == '\0') problem_ = "a NUL byte is in the text";
      if (!problem_.empty()) return false;
      field += c;
    }
    return true;
  }

  bool Quoted(std::string& field) {
    for (++at_; at_ < text_.size(); ++at_) {
      const char c = text_[at_];
      if (c == '"') {
        ++at_;
        if (!Peek('"')) return true;
      } else if (c == '\n') {
        ++line_;
      } else if (c == '\0') {
        problem_ = "a NUL byte is in the text";
        return false;
      }
      field += c;
    }
    problem_ = "a quote is never closed";
    return false;
  }

  std::string_view text_;
  std::size_t at_ = 0;
  std::size_t line_ = 1;
  std::string problem_;
};

tl::unexpected<Error> Unusable(std::string message, std::string where) {
  return Fail(Code::kDataUnusable, std::move(message), std::move(where),
              "Write the table as comma-separated text (RFC 4180) with one header line.");
}

}  // namespace

std::optional<double> NumberFromText(std::string_view text) {
  double number = 0.0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), number);
  if (error != std::errc() || end != text.data() + text.size() || !std::isfinite(number)) {
    return std::nullopt;
  }
  return number;
}

Result<CsvTable> CsvTable::Parse(std::string_view text, std::string name) {
  CsvTable table;
  table.name_ = std::move(name);
  Scanner scanner(text);
  if (scanner.AtEnd()) return Unusable("The table is empty.", table.name_);
  while (!scanner.AtEnd()) {
    const std::size_t line = scanner.line();
    const bool is_header = table.header_.empty();
    auto fields = scanner.Record();
    if (!fields) {
      return Unusable(fmt::format("The table cannot be read: {}.", scanner.problem()),
                      fmt::format("{}, line {}", table.name_, scanner.line()));
    }
    if (is_header) {
      table.header_ = std::move(*fields);
      continue;
    }
    if (fields->size() != table.header_.size()) {
      return Unusable(fmt::format("The line has {} fields, the header {}.", fields->size(),
                                  table.header_.size()),
                      fmt::format("{}, line {}", table.name_, line));
    }
    table.rows_.push_back({line, std::move(*fields)});
  }
  std::set<std::string_view> seen;
  for (const std::string& column : table.header_) {
    if (column.empty()) return Unusable("A column has no name.", table.name_ + ", line 1");
    if (!seen.insert(column).second) {
      return Unusable(fmt::format("Two columns are named {}.", column), table.name_ + ", line 1");
    }
  }
  return table;
}

Result<CsvTable> CsvTable::Read(const std::filesystem::path& path) {
  const auto bytes = ReadFileLimited(path, kLargestTable);
  if (!bytes) return Fail(bytes.error());
  return Parse(std::string_view(reinterpret_cast<const char*>(bytes->data()), bytes->size()),
               path.string());
}

std::optional<std::size_t> CsvTable::Column(std::string_view column) const {
  for (std::size_t i = 0; i < header_.size(); ++i) {
    if (header_[i] == column) return i;
  }
  return std::nullopt;
}

Result<std::size_t> CsvTable::RequiredColumn(std::string_view column) const {
  const auto index = Column(column);
  if (!index) return Unusable(fmt::format("There is no column {}.", column), name_ + ", line 1");
  return *index;
}

const std::string& CsvTable::Cell(std::size_t row, std::size_t column) const {
  RIBWRIGHT_CHECK(row < rows_.size() && column < header_.size());
  return rows_[row].cells[column];
}

Result<double> CsvTable::Number(std::size_t row, std::size_t column) const {
  const auto number = NumberFromText(Cell(row, column));
  if (!number) {
    return Fail(Code::kDataUnusable, fmt::format("\"{}\" is not a number.", Cell(row, column)),
                Where(row, column), "Write a number with a decimal point and nothing else.");
  }
  return *number;
}

std::string CsvTable::Where(std::size_t row, std::size_t column) const {
  RIBWRIGHT_CHECK(row < rows_.size() && column < header_.size());
  return fmt::format("{}, line {}, column {}", name_, rows_[row].line, header_[column]);
}

}  // namespace ribwright
