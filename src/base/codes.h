// SPDX-License-Identifier: Apache-2.0
// The one table of error and warning codes that outputs carry. docs/format/codes.md prints it (a
// test compares them). A code is stable once released: it may be retired, never given a new
// meaning.
#pragma once

#include <optional>
#include <span>
#include <string_view>

namespace ribwright {

enum class Code {
#define RIBWRIGHT_CODE(enumerator, text, kind, meaning) enumerator,
#include "base/codes.def"
#undef RIBWRIGHT_CODE
};

enum class CodeKind { kError, kWarning };

struct CodeEntry {
  Code code;
  std::string_view text;     // what JSON carries, e.g. "photo_truncated"
  CodeKind kind;             // error: no result; warning: a result with a caution
  std::string_view meaning;  // one sentence, ends with a full stop
};

// Every code in declaration order.
std::span<const CodeEntry> CodeTable();
std::string_view CodeText(Code code);
CodeKind KindOf(Code code);
std::optional<Code> CodeFromText(std::string_view text);

}  // namespace ribwright
