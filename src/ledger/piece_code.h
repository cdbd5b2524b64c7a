// SPDX-License-Identifier: Apache-2.0
// Codes of pieces: short, hard to misread, and a slip is noticed.
//
// A made code is the piece's number in base 31 over 123456789ABCDEFGHJKMNPQRSTVWXYZ (no zero, I, L,
// O or U), at least four symbols, and one check symbol, such that the weighted sum of
// the symbols' values is a multiple of 31, the weight of the i-th symbol from the right being i
// (the check symbol's is 1); 31 is prime, so every single wrong symbol and every exchange of two
// symbols is noticed. 28 million pieces have six symbols or less.
//
// A house may also print labels beforehand and give its own codes: 1 to 40 of A to Z, 0 to 9 and
// hyphen. CodeFromTyped turns what people type or a scanner sends into the form that is stored:
// capitals, no blanks. Thread-safe.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

#include "ledger/piece.h"

namespace ribwright::ledger {

std::string MadeCode(PieceId id);  // id.value >= 1
// The number in a made code; none when the check symbol is wrong or it cannot be one.
std::optional<PieceId> NumberInMadeCode(std::string_view code);

std::optional<std::string> CodeFromTyped(std::string_view typed);

}  // namespace ribwright::ledger
