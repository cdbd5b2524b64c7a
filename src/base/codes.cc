// SPDX-License-Identifier: Apache-2.0
#include "base/codes.h"

#include <array>

#include "base/check.h"

namespace ribwright {
namespace {
constexpr std::array kTable = {
#define RIBWRIGHT_CODE(enumerator, text, kind, meaning) \
  CodeEntry{Code::enumerator, text, CodeKind::kind, meaning},
#include "base/codes.def"
#undef RIBWRIGHT_CODE
};
}  // namespace

std::span<const CodeEntry> CodeTable() { return kTable; }

std::string_view CodeText(Code code) {
  const auto index = static_cast<std::size_t>(code);
  RIBWRIGHT_CHECK(index < kTable.size());
  return kTable[index].text;
}

CodeKind KindOf(Code code) {
  const auto index = static_cast<std::size_t>(code);
  RIBWRIGHT_CHECK(index < kTable.size());
  return kTable[index].kind;
}

std::optional<Code> CodeFromText(std::string_view text) {
  for (const CodeEntry& entry : kTable) {
    if (entry.text == text) return entry.code;
  }
  return std::nullopt;
}

}  // namespace ribwright
