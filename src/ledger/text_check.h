// SPDX-License-Identifier: Apache-2.0
// Whether a text may go into the ledger: valid UTF-8 (RFC 3629: no overlong forms, surrogates or
// values above U+10FFFF), of at most so many bytes, without control characters (C0, DEL, C1, those
// of text direction) or a blank at an end. Lines: line feeds and tabs may be inside. Thread-safe.
#pragma once

#include <cstddef>
#include <string_view>

namespace ribwright::ledger {

enum class TextShape { kLine, kLines };

bool TextIsFine(std::string_view text, std::size_t most_bytes, TextShape shape);

}  // namespace ribwright::ledger
