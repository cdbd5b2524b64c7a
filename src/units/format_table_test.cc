// SPDX-License-Identifier: Apache-2.0
// tests/data/shown_numbers.csv says how numbers are shown; the front's tests read the same rows.
#include <gtest/gtest.h>

#include "base/csv.h"
#include "units/format.h"

namespace ribwright::units {
namespace {

TEST(FormatTable, NumbersAreShownAsTheFrontShowsThem) {
  const auto table = CsvTable::Read(RIBWRIGHT_SOURCE_DIR "/tests/data/shown_numbers.csv");
  ASSERT_TRUE(table) << table.error().message;
  const auto column = [&](const char* name) { return table->RequiredColumn(name).value(); };
  for (std::size_t row = 0; row < table->rows(); ++row) {
    const auto number = [&](const char* name) { return table->Number(row, column(name)).value(); };
    const auto text = [&](const char* name) { return table->Cell(row, column(name)); };
    const Measured m =
        Measured::Of(number("value"), number("low"), number("high"), text("unit"), "table");
    const Shown shown = Show(m, text("system") == "us" ? System::kUs : System::kMetric);
    EXPECT_EQ(shown.value, text("shown")) << table->Where(row, 0);
    EXPECT_EQ(shown.low, text("shown_low")) << table->Where(row, 0);
    EXPECT_EQ(shown.high, text("shown_high")) << table->Where(row, 0);
    EXPECT_EQ(shown.unit, text("shown_unit")) << table->Where(row, 0);
  }
  EXPECT_GT(table->rows(), 10U);
}

}  // namespace
}  // namespace ribwright::units
