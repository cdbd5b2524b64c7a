// SPDX-License-Identifier: Apache-2.0
#include "ledger/text_check.h"

#include <cstdint>

namespace ribwright::ledger {
namespace {

// Length of the well-formed sequence at the front, 0 where there is none; its value in `code`.
std::size_t Sequence(std::string_view text, std::uint32_t& code) {
  const auto byte = [&](std::size_t i) { return static_cast<std::uint8_t>(text[i]); };
  const std::uint8_t first = byte(0);
  if (first < 0x80U) {
    code = first;
    return 1;
  }
  const std::size_t length = first >= 0xF0U ? 4 : first >= 0xE0U ? 3 : first >= 0xC2U ? 2 : 0;
  if (length == 0 || first > 0xF4U || text.size() < length) return 0;
  code = first & (0xFFU >> (length + 1));
  for (std::size_t i = 1; i < length; ++i) {
    if ((byte(i) & 0xC0U) != 0x80U) return 0;
    code = code << 6U | (byte(i) & 0x3FU);
  }
  const bool overlong = (length == 3 && code < 0x800U) || (length == 4 && code < 0x10000U);
  const bool surrogate = code >= 0xD800U && code <= 0xDFFFU;
  return overlong || surrogate || code > 0x10FFFFU ? 0 : length;
}

// Characters that change the order of what is shown, break lines or show nothing at all: a text
// with them can look like another (Unicode 15, UAX 9 and the property Default_Ignorable; joiners,
// which some scripts need, are left).
bool IsHiddenOrder(std::uint32_t code) {
  return code == 0x061CU || code == 0x200BU || (code >= 0x200EU && code <= 0x200FU) ||
         (code >= 0x2028U && code <= 0x202EU) || (code >= 0x2060U && code <= 0x206FU) ||
         code == 0xFEFFU || (code >= 0xFFF9U && code <= 0xFFFBU) ||
         (code >= 0xE0000U && code <= 0xE007FU);
}

}  // namespace

bool TextIsFine(std::string_view text, std::size_t most_bytes, TextShape shape) {
  if (text.empty()) return true;
  if (text.size() > most_bytes || text.front() == ' ' || text.back() == ' ') return false;
  for (std::size_t at = 0; at < text.size();) {
    std::uint32_t code = 0;
    const std::size_t length = Sequence(text.substr(at), code);
    if (length == 0) return false;
    const bool control = code < 0x20U || (code >= 0x7FU && code < 0xA0U);
    const bool allowed = shape == TextShape::kLines && (code == '\n' || code == '\t');
    if ((control && !allowed) || IsHiddenOrder(code)) return false;
    at += length;
  }
  return true;
}

}  // namespace ribwright::ledger
