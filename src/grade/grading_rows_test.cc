// SPDX-License-Identifier: Apache-2.0
// Every row of the collected grading tables is either checked by a golden file or listed, with the
// reason, as background in docs/science/grading_rows.md; never both, never neither.
#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>
#include <regex>
#include <set>
#include <sstream>
#include <string>

#include "base/csv.h"

namespace ribwright::grade {
namespace {

namespace fs = std::filesystem;

std::set<std::string> GoldenIds() {
  std::set<std::string> ids;
  const fs::path folder = fs::path(RIBWRIGHT_SOURCE_DIR) / "tests/golden";
  for (const auto& entry : fs::directory_iterator(folder)) {
    if (entry.path().extension() != ".csv") continue;
    const auto table = CsvTable::Read(entry.path());
    if (!table || !table->Column("id")) continue;
    for (std::size_t row = 0; row < table->rows(); ++row) {
      const std::string& id = table->Cell(row, *table->Column("id"));
      ids.insert(id.substr(0, id.find('-')));
    }
  }
  return ids;
}

std::set<std::string> BackgroundIds() {
  std::ifstream file(fs::path(RIBWRIGHT_SOURCE_DIR) / "docs/science/grading_rows.md");
  std::stringstream text;
  text << file.rdbuf();
  const std::string all = text.str();
  const std::regex word("\\b(QG|YG|BM|MI|IM)[0-9]{2}\\b");
  std::set<std::string> ids;
  for (auto it = std::sregex_iterator(all.begin(), all.end(), word); it != std::sregex_iterator();
       ++it) {
    ids.insert(it->str());
  }
  return ids;
}

TEST(GradingRows, EveryCollectedRowIsCheckedOrListedAsBackground) {
  const auto table =
      CsvTable::Read(fs::path(RIBWRIGHT_SOURCE_DIR) / "tests/data/grading_row_ids.csv");
  ASSERT_TRUE(table) << table.error().message;
  ASSERT_GT(table->rows(), 200u);
  const auto golden = GoldenIds();
  const auto background = BackgroundIds();
  std::set<std::string> all;
  for (std::size_t row = 0; row < table->rows(); ++row) {
    const std::string& id = table->Cell(row, *table->Column("id"));
    all.insert(id);
    EXPECT_NE(golden.contains(id), background.contains(id)) << id;
  }
  for (const auto& id : background) EXPECT_TRUE(all.contains(id)) << id << " is no collected row";
}

}  // namespace
}  // namespace ribwright::grade
