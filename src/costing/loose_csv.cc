// SPDX-License-Identifier: Apache-2.0
#include "costing/loose_csv.h"

#include <fmt/format.h>

#include <algorithm>

#include "base/csv.h"

namespace ribwright::costing {
namespace {

constexpr std::size_t kLargest = 16'000'000;  // bytes; our own limit

std::string Trimmed(std::string_view text) {
  const auto blank = [](char c) { return c == ' ' || c == '\t' || c == '\r'; };
  while (!text.empty() && blank(text.front())) text.remove_prefix(1);
  while (!text.empty() && blank(text.back())) text.remove_suffix(1);
  return std::string(text);
}

std::string_view LineAt(std::string_view text, std::size_t at) {
  return text.substr(at, std::min(text.find('\n', at), text.size()) - at);
}

std::size_t CountOutsideQuotes(std::string_view line, char wanted) {
  std::size_t count = 0;
  bool quoted = false;
  for (const char c : line) {
    if (c == '"') quoted = !quoted;
    if (c == wanted && !quoted) ++count;
  }
  return count;
}

char GuessDelimiter(std::string_view header) {
  char best = ',';
  std::size_t most = 0;
  for (const char c : {',', ';', '\t'}) {
    const std::size_t count = CountOutsideQuotes(header, c);
    if (count > most) {
      most = count;
      best = c;
    }
  }
  return best;
}

struct Record {
  std::vector<std::string> cells;
  std::size_t end = 0;    // first byte after the record
  std::size_t lines = 1;  // that it took
};

// None where a quote is never closed.
std::optional<Record> RecordAt(std::string_view text, std::size_t at, char delimiter) {
  Record record;
  std::string cell;
  bool quoted = false;
  bool was_quoted = false;
  const auto close = [&] {
    record.cells.push_back(was_quoted ? cell : Trimmed(cell));
    cell.clear();
    was_quoted = false;
  };
  for (; at < text.size(); ++at) {
    const char c = text[at];
    if (quoted) {
      if (c == '"' && at + 1 < text.size() && text[at + 1] == '"') {
        cell += '"';
        ++at;
      } else if (c == '"') {
        quoted = false;
      } else {
        if (c == '\n') ++record.lines;
        cell += c;
      }
    } else if (c == '"' && Trimmed(cell).empty()) {
      cell.clear();
      quoted = was_quoted = true;
    } else if (c == delimiter) {
      close();
    } else if (c == '\n') {
      close();
      record.end = at + 1;
      return record;
    } else if (!(was_quoted && (c == ' ' || c == '\r'))) {
      cell += c;
    }
  }
  if (quoted) return std::nullopt;
  close();
  record.end = text.size();
  return record;
}

}  // namespace

bool IsUtf8(std::string_view text) {
  for (std::size_t i = 0; i < text.size();) {
    const auto byte = static_cast<unsigned char>(text[i]);
    const std::size_t more = byte < 0x80                   ? 0
                             : byte >= 0xC2 && byte < 0xE0 ? 1
                             : byte >= 0xE0 && byte < 0xF0 ? 2
                             : byte >= 0xF0 && byte < 0xF5 ? 3
                                                           : 9;
    if (more == 9 || i + more >= text.size()) return false;
    for (std::size_t k = 1; k <= more; ++k) {
      if ((static_cast<unsigned char>(text[i + k]) & 0xC0U) != 0x80U) return false;
    }
    const auto second = more > 0 ? static_cast<unsigned char>(text[i + 1]) : 0U;
    if ((byte == 0xE0 && second < 0xA0U) || (byte == 0xED && second > 0x9FU) ||
        (byte == 0xF0 && second < 0x90U) || (byte == 0xF4 && second > 0x8FU)) {
      return false;
    }
    i += more + 1;
  }
  return true;
}

std::optional<std::size_t> LooseTable::Column(std::string_view name) const {
  const auto it = std::find(header.begin(), header.end(), name);
  if (it == header.end()) return std::nullopt;
  return static_cast<std::size_t>(it - header.begin());
}

Result<LooseTable> ReadLoose(std::string_view text, const std::string& name,
                             std::optional<char> delimiter) {
  const auto refuse = [&](std::string message) {
    return Fail(Code::kDataUnusable, std::move(message), name,
                "Save the list as CSV in UTF-8, with one header line.");
  };
  if (text.starts_with("\xEF\xBB\xBF")) text.remove_prefix(3);
  if (text.size() > kLargest) return refuse("The list is larger than 16 MB.");
  if (text.find('\0') != std::string_view::npos) return refuse("The list holds NUL bytes.");
  LooseTable table;
  std::size_t line = 1;
  for (std::size_t at = 0; at < text.size();) {
    const std::string_view raw = LineAt(text, at);
    const std::size_t next = std::min(at + raw.size() + 1, text.size());
    if (Trimmed(raw).empty()) {
      at = next;
      ++line;
      continue;
    }
    if (table.header.empty()) table.delimiter = delimiter.value_or(GuessDelimiter(raw));
    const auto record = RecordAt(text, at, table.delimiter);
    std::string reason;
    if (!record) {
      reason = "A quote is never closed.";
    } else if (!IsUtf8(text.substr(at, record->end - at))) {
      reason = "The line is not UTF-8 text.";
    } else if (!table.header.empty() && record->cells.size() != table.header.size()) {
      reason = fmt::format("The line has {} fields, the header {}.", record->cells.size(),
                           table.header.size());
    }
    if (table.header.empty()) {
      if (!reason.empty()) return refuse("The header cannot be read: " + reason);
      table.header = record->cells;
    } else if (reason.empty()) {
      table.rows.push_back({line, record->cells});
    } else {
      std::string shown(raw.substr(0, 120));
      if (!IsUtf8(shown)) shown = "(not shown)";
      table.bad.push_back({line, reason, shown});
    }
    // After a quote that never closes, the next line may be sound.
    at = record ? record->end : next;
    line += record ? record->lines : 1;
  }
  if (table.header.empty()) return refuse("The list is empty.");
  return table;
}

std::optional<double> LooseNumber(std::string_view text, char decimal) {
  const char mark = decimal == '.' ? ',' : '.';
  std::string plain;
  const std::string trimmed = Trimmed(text);
  const std::size_t point = trimmed.find(decimal);
  const std::string_view whole = std::string_view(trimmed).substr(0, point);
  // Thousands: groups of exactly three digits after the first mark.
  std::size_t since = 0;
  bool grouped = false;
  for (const char c : whole) {
    if (c == mark || c == ' ' || c == '\'') {
      if ((grouped && since != 3) || since == 0) return std::nullopt;
      grouped = true;
      since = 0;
      continue;
    }
    if (c >= '0' && c <= '9') ++since;
    plain += c;
  }
  if (grouped && since != 3) return std::nullopt;
  if (point != std::string::npos) {
    plain += '.';
    plain += std::string_view(trimmed).substr(point + 1);
    if (plain.starts_with('.')) plain.insert(plain.begin(), '0');
  }
  return NumberFromText(plain);
}

}  // namespace ribwright::costing
