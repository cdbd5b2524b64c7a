// SPDX-License-Identifier: Apache-2.0
// Golden rows: checks against values that came from outside, one row a check
// (tests/golden/README.md states the columns). ReadGolden refuses a file that could pass unseen: no
// rows, an unknown or missing column, a repeated id, a number that is none, a missing unit, source
// or locator, a status that is not one of the four, a tolerance that is absent, or one wider than
// half a unit of the last printed digit of `expected` without its reason. All errors:
// kDataUnusable.
//
//   const auto rows = ReadGolden(path, {{"L1", CellKind::kNumber}, ...});
//   for (const GoldenRow& row : *rows) EXPECT_TRUE(row.Near(Compute(row.Number("L1")))) << row.id;
#pragma once

#include <filesystem>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "base/result.h"

namespace ribwright {

enum class CellKind { kNumber, kOptionalNumber, kText };

struct GoldenInput {
  std::string column;
  CellKind kind = CellKind::kNumber;
};

enum class GoldenStatus {
  kRead,      // copied from the named source by someone who had it open
  kComputed,  // worked out from what the named source states
  kMemory,    // recalled, not looked up: no evidence on its own
  kAssumed,   // our own choice
};

struct GoldenRow {
  std::string id;
  std::map<std::string, std::string, std::less<>> inputs;
  std::string expected;  // as printed
  std::string unit;      // "1" for a plain number, "text" for words
  double tol_abs = 0.0;
  double tol_rel = 0.0;
  std::string tol_reason;
  std::string source;
  std::string locator;
  GoldenStatus status = GoldenStatus::kMemory;
  std::string note;

  // The column must be an input that was declared as a number (Optional: as an optional number).
  double Number(std::string_view column) const;
  std::optional<double> OptionalNumber(std::string_view column) const;
  const std::string& Text(std::string_view column) const;
  double ExpectedNumber() const;
  // |value - expected| <= max(tol_abs, tol_rel * |expected|); false for NaN.
  bool Near(double value) const;
};

Result<std::vector<GoldenRow>> ReadGolden(const std::filesystem::path& path,
                                          const std::vector<GoldenInput>& inputs,
                                          CellKind expected = CellKind::kNumber);
// The same from text, for tests of the reader.
Result<std::vector<GoldenRow>> ParseGolden(std::string_view text, std::string name,
                                           const std::vector<GoldenInput>& inputs,
                                           CellKind expected = CellKind::kNumber);

}  // namespace ribwright
