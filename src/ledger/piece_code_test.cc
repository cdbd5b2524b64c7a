// SPDX-License-Identifier: Apache-2.0
#include "ledger/piece_code.h"

#include <gtest/gtest.h>

#include <set>

#include "base/check.h"
#include "math/rng.h"

namespace ribwright::ledger {
namespace {

constexpr std::string_view kSymbols = "123456789ABCDEFGHJKMNPQRSTVWXYZ";

TEST(PieceCode, OfANumberGivesTheNumberBack) {
  std::set<std::string> seen;
  for (const std::int64_t number : {1LL, 2LL, 30LL, 31LL, 961LL, 923'520LL, 923'521LL, 200'000LL,
                                    28'629'151LL, 4'000'000'000'000LL}) {
    const std::string code = MadeCode({number});
    EXPECT_TRUE(seen.insert(code).second);
    ASSERT_TRUE(NumberInMadeCode(code)) << code;
    EXPECT_EQ(NumberInMadeCode(code)->value, number);
  }
  EXPECT_LE(MadeCode({923'520}).size(), 5U);
  EXPECT_THROW(MadeCode({0}), LogicError);
}

TEST(PieceCode, NoticesEverySingleSlipAndEveryExchange) {
  math::Rng rng(11);
  for (int round = 0; round < 200; ++round) {
    const std::string code = MadeCode({1 + static_cast<std::int64_t>(rng.Below(200'000'000))});
    for (std::size_t i = 0; i < code.size(); ++i) {
      for (const char c : kSymbols) {
        std::string other = code;
        other[i] = c;
        if (other != code) {
          EXPECT_FALSE(NumberInMadeCode(other)) << code << ' ' << other;
        }
      }
      for (std::size_t j = i + 1; j < code.size(); ++j) {
        std::string other = code;
        std::swap(other[i], other[j]);
        if (other != code) {
          EXPECT_FALSE(NumberInMadeCode(other)) << code << ' ' << other;
        }
      }
    }
  }
}

TEST(PieceCode, IsReadAsPeopleTypeIt) {
  EXPECT_EQ(CodeFromTyped(" rib-07 \n"), "RIB-07");
  EXPECT_FALSE(CodeFromTyped("  "));
  EXPECT_FALSE(CodeFromTyped("RIB_07"));
  EXPECT_FALSE(
      CodeFromTyped("R\xc3\x84"
                    "D"));
  EXPECT_FALSE(CodeFromTyped(std::string(41, 'A')));
}

}  // namespace
}  // namespace ribwright::ledger
