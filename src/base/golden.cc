// SPDX-License-Identifier: Apache-2.0
#include "base/golden.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <set>
#include <utility>

#include "base/check.h"
#include "base/csv.h"

namespace ribwright {
namespace {

constexpr std::array<std::string_view, 10> kFixed = {"id",      "expected",   "unit",   "tol_abs",
                                                     "tol_rel", "tol_reason", "source", "locator",
                                                     "status",  "note"};

tl::unexpected<Error> Bad(std::string message, std::string where) {
  return Fail(Code::kDataUnusable, std::move(message), std::move(where),
              "See tests/golden/README.md for the columns.");
}

std::optional<GoldenStatus> StatusFromText(std::string_view text) {
  if (text == "read") return GoldenStatus::kRead;
  if (text == "computed") return GoldenStatus::kComputed;
  if (text == "memory") return GoldenStatus::kMemory;
  if (text == "assumed") return GoldenStatus::kAssumed;
  return std::nullopt;
}

// Half a unit of the last digit printed: 0.05 for "12.3", 0.5 for "12", 5e-5 for "1.234e-1".
double HalfLastDigit(std::string_view printed) {
  const std::size_t exponent_at = printed.find_first_of("eE");
  const std::string_view mantissa = printed.substr(0, exponent_at);
  const double exponent = exponent_at == std::string_view::npos
                              ? 0.0
                              : NumberFromText(printed.substr(exponent_at + 1)).value_or(0.0);
  const std::size_t point = mantissa.find('.');
  const std::size_t decimals = point == std::string_view::npos ? 0 : mantissa.size() - point - 1;
  return 0.5 * std::pow(10.0, exponent - static_cast<double>(decimals));
}

bool Fits(CellKind kind, const std::string& cell) {
  if (kind == CellKind::kText || (kind == CellKind::kOptionalNumber && cell.empty())) return true;
  return NumberFromText(cell).has_value();
}

Status CheckColumns(const CsvTable& table, const std::vector<GoldenInput>& inputs) {
  std::set<std::string_view> known(kFixed.begin(), kFixed.end());
  for (const GoldenInput& input : inputs) RIBWRIGHT_CHECK(known.insert(input.column).second);
  for (const std::string& column : table.header()) {
    if (!known.contains(column)) {
      return Bad(fmt::format("The column {} is not known.", column), table.name());
    }
  }
  for (const std::string_view column : known) {
    if (!table.Column(column)) {
      return Bad(fmt::format("The column {} is missing.", column), table.name());
    }
  }
  return {};
}

Result<GoldenRow> ReadRow(const CsvTable& table, std::size_t at,
                          const std::vector<GoldenInput>& inputs, CellKind expected) {
  const auto cell = [&](std::string_view column) -> const std::string& {
    return table.Cell(at, *table.Column(column));
  };
  const auto where = [&](std::string_view column) {
    return table.Where(at, *table.Column(column));
  };
  for (const std::string_view column : {"id", "expected", "unit", "source", "locator", "status"}) {
    if (cell(column).empty()) {
      return Bad(fmt::format("The row has no {}.", column), where(column));
    }
  }
  GoldenRow row{cell("id"),
                {},
                cell("expected"),
                cell("unit"),
                0.0,
                0.0,
                cell("tol_reason"),
                cell("source"),
                cell("locator"),
                GoldenStatus::kMemory,
                cell("note")};
  for (const GoldenInput& input : inputs) {
    if (!Fits(input.kind, cell(input.column))) {
      return Bad(fmt::format("\"{}\" is not a number.", cell(input.column)), where(input.column));
    }
    row.inputs[input.column] = cell(input.column);
  }
  const auto status = StatusFromText(cell("status"));
  if (!status) {
    return Bad(
        fmt::format("\"{}\" is no status: read, computed, memory or assumed.", cell("status")),
        where("status"));
  }
  row.status = *status;
  if (expected == CellKind::kText) return row;

  const auto number = NumberFromText(row.expected);
  if (!number) {
    return Bad(fmt::format("\"{}\" is not a number.", row.expected), where("expected"));
  }
  for (const auto& [column, value] :
       {std::pair{"tol_abs", &row.tol_abs}, std::pair{"tol_rel", &row.tol_rel}}) {
    const auto tolerance = NumberFromText(cell(column));
    if (!tolerance || *tolerance < 0.0) {
      return Bad("The tolerance must be a number of at least 0.", where(column));
    }
    *value = *tolerance;
  }
  const double width = std::max(row.tol_abs, row.tol_rel * std::abs(*number));
  if (width > HalfLastDigit(row.expected) * (1.0 + 1e-9) && row.tol_reason.empty()) {
    return Bad("The tolerance is wider than half the last printed digit and has no reason.",
               where("tol_reason"));
  }
  return row;
}

Result<std::vector<GoldenRow>> FromTable(const CsvTable& table,
                                         const std::vector<GoldenInput>& inputs,
                                         CellKind expected) {
  if (table.rows() == 0) return Bad("The golden file has no rows.", table.name());
  if (const Status columns = CheckColumns(table, inputs); !columns) return Fail(columns.error());
  std::vector<GoldenRow> rows;
  std::set<std::string> ids;
  for (std::size_t at = 0; at < table.rows(); ++at) {
    auto row = ReadRow(table, at, inputs, expected);
    if (!row) return Fail(row.error());
    if (!ids.insert(row->id).second) {
      return Bad(fmt::format("The id {} is used twice.", row->id),
                 table.Where(at, *table.Column("id")));
    }
    rows.push_back(std::move(*row));
  }
  return rows;
}

}  // namespace

const std::string& GoldenRow::Text(std::string_view column) const {
  const auto found = inputs.find(column);
  RIBWRIGHT_CHECK(found != inputs.end());
  return found->second;
}

double GoldenRow::Number(std::string_view column) const {
  const auto number = NumberFromText(Text(column));
  RIBWRIGHT_CHECK(number.has_value());
  return *number;
}

std::optional<double> GoldenRow::OptionalNumber(std::string_view column) const {
  if (Text(column).empty()) return std::nullopt;
  return Number(column);
}

double GoldenRow::ExpectedNumber() const {
  const auto number = NumberFromText(expected);
  RIBWRIGHT_CHECK(number.has_value());
  return *number;
}

bool GoldenRow::Near(double value) const {
  const double want = ExpectedNumber();
  return std::abs(value - want) <= std::max(tol_abs, tol_rel * std::abs(want));
}

Result<std::vector<GoldenRow>> ReadGolden(const std::filesystem::path& path,
                                          const std::vector<GoldenInput>& inputs,
                                          CellKind expected) {
  const auto table = CsvTable::Read(path);
  if (!table) return Fail(table.error());
  return FromTable(*table, inputs, expected);
}

Result<std::vector<GoldenRow>> ParseGolden(std::string_view text, std::string name,
                                           const std::vector<GoldenInput>& inputs,
                                           CellKind expected) {
  const auto table = CsvTable::Parse(text, std::move(name));
  if (!table) return Fail(table.error());
  return FromTable(*table, inputs, expected);
}

}  // namespace ribwright
