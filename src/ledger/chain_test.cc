// SPDX-License-Identifier: Apache-2.0
#include "ledger/chain.h"

#include <gtest/gtest.h>

#include <set>

namespace ribwright::ledger {
namespace {

Link First() { return {1, "weighed", {5}, {6}, "ada", "k", "", R"({"mass_g":1,"piece_id":1})"}; }

TEST(Chain, IsTheHashOfTheWrittenOutFields) {
  std::string bytes(32, '\0');
  bytes +=
      "17:ribwright.event/1,1:1,7:weighed,1:5,1:6,3:ada,1:k,0:,25:{\"mass_g\":1,\"piece_id\":1},";
  EXPECT_EQ(ChainHash({}, First()), HashOf(bytes));
}

TEST(Chain, ChangesWithEveryField) {
  std::set<std::string> seen = {HashText(ChainHash({}, First()))};
  const auto is_new = [&](const Hash& previous, const Link& link) {
    return seen.insert(HashText(ChainHash(previous, link))).second;
  };
  Link link = First();
  link.number = 2;
  EXPECT_TRUE(is_new({}, link));
  link = First();
  link.kind = "moved";
  EXPECT_TRUE(is_new({}, link));
  link = First();
  link.happened.ms = 4;
  EXPECT_TRUE(is_new({}, link));
  link = First();
  link.written.ms = 7;
  EXPECT_TRUE(is_new({}, link));
  link = First();
  link.user = "bob";
  EXPECT_TRUE(is_new({}, link));
  link = First();
  link.key = "l";
  EXPECT_TRUE(is_new({}, link));
  link = First();
  link.note = "x";
  EXPECT_TRUE(is_new({}, link));
  link = First();
  link.data = "{}";
  EXPECT_TRUE(is_new({}, link));
  EXPECT_TRUE(is_new(HashOf("else"), First()));
  // Bytes that move from one field to the next are another event.
  link = First();
  link.user = "adak";
  link.key = "";
  EXPECT_TRUE(is_new({}, link));
}

}  // namespace
}  // namespace ribwright::ledger
