// SPDX-License-Identifier: Apache-2.0
#include "ledger/piece_code.h"

#include <algorithm>

#include "base/check.h"

namespace ribwright::ledger {
namespace {

constexpr std::string_view kSymbols = "123456789ABCDEFGHJKMNPQRSTVWXYZ";
static_assert(kSymbols.size() == 31);
constexpr std::size_t kLeastSymbols = 4;
constexpr std::size_t kMostSymbols = 12;  // 31^12 < 2^63

// Over the symbols before the check symbol; the one next to it has weight 2.
std::size_t CheckValue(std::string_view symbols) {
  std::size_t sum = 0;
  std::size_t weight = symbols.size() + 1;
  for (const char c : symbols) sum += weight-- * kSymbols.find(c);
  return (31 - sum % 31) % 31;
}

}  // namespace

std::string MadeCode(PieceId id) {
  RIBWRIGHT_CHECK(id.value >= 1);
  std::string code;
  for (auto rest = static_cast<std::uint64_t>(id.value); rest > 0; rest /= 31U) {
    code += kSymbols[rest % 31U];
  }
  while (code.size() < kLeastSymbols) code += kSymbols[0];
  std::reverse(code.begin(), code.end());
  return code + kSymbols[CheckValue(code)];
}

std::optional<PieceId> NumberInMadeCode(std::string_view code) {
  if (code.size() <= kLeastSymbols || code.size() > kMostSymbols + 1) return std::nullopt;
  if (code.find_first_not_of(kSymbols) != std::string_view::npos) return std::nullopt;
  const std::string_view symbols = code.substr(0, code.size() - 1);
  if (kSymbols[CheckValue(symbols)] != code.back()) return std::nullopt;
  if (symbols.size() > kLeastSymbols && symbols.front() == kSymbols[0]) return std::nullopt;
  std::int64_t number = 0;
  for (const char c : symbols) number = number * 31 + static_cast<std::int64_t>(kSymbols.find(c));
  if (number < 1) return std::nullopt;
  return PieceId{number};
}

std::optional<std::string> CodeFromTyped(std::string_view typed) {
  std::string code;
  for (const char c : typed) {
    if (c == ' ' || c == '\t' || c == '\r' || c == '\n') continue;
    const bool small = c >= 'a' && c <= 'z';
    const bool plain = (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '-';
    if (!small && !plain) return std::nullopt;
    code += small ? static_cast<char>(c - 'a' + 'A') : c;
  }
  if (code.empty() || code.size() > 40) return std::nullopt;
  return code;
}

}  // namespace ribwright::ledger
