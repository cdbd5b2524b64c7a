// SPDX-License-Identifier: Apache-2.0
#include "ledger/hash.h"

#include <gtest/gtest.h>

#include "base/golden.h"

namespace ribwright::ledger {
namespace {

TEST(Hash, IsThePublishedSha256) {
  const auto rows = ReadGolden(std::string(RIBWRIGHT_SOURCE_DIR) + "/tests/golden/sha256.csv",
                               {{"text", CellKind::kText}}, CellKind::kText);
  ASSERT_TRUE(rows) << rows.error().message << rows.error().where;
  for (const GoldenRow& row : *rows) {
    EXPECT_EQ(HashText(HashOf(row.Text("text"))), row.expected) << row.id;
  }
}

TEST(Hash, ComesBackFromItsText) {
  const Hash hash = HashOf("rib");
  EXPECT_EQ(HashFromText(HashText(hash)), hash);
  EXPECT_FALSE(HashFromText(""));
  EXPECT_FALSE(HashFromText(std::string(63, 'a')));
  EXPECT_FALSE(HashFromText(std::string(64, 'A')));
  EXPECT_FALSE(HashFromText(std::string(64, 'g')));
}

}  // namespace
}  // namespace ribwright::ledger
