// SPDX-License-Identifier: Apache-2.0
#include "ledger/hash.h"

#include <sodium.h>

namespace ribwright::ledger {

static_assert(crypto_hash_sha256_BYTES == 32);

Hash HashOf(std::span<const std::uint8_t> bytes) {
  Hash hash;
  crypto_hash_sha256(hash.bytes.data(), bytes.data(), bytes.size());
  return hash;
}

Hash HashOf(std::string_view text) {
  return HashOf({reinterpret_cast<const std::uint8_t*>(text.data()), text.size()});
}

std::string HashText(const Hash& hash) {
  constexpr std::string_view kDigits = "0123456789abcdef";
  std::string text;
  text.reserve(64);
  for (const std::uint8_t byte : hash.bytes) {
    text += kDigits[byte >> 4U];
    text += kDigits[byte & 15U];
  }
  return text;
}

std::optional<Hash> HashFromText(std::string_view text) {
  Hash hash;
  if (text.size() != 2 * hash.bytes.size()) return std::nullopt;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const char c = text[i];
    std::uint8_t digit = 0;
    if (c >= '0' && c <= '9') {
      digit = static_cast<std::uint8_t>(c - '0');
    } else if (c >= 'a' && c <= 'f') {
      digit = static_cast<std::uint8_t>(c - 'a' + 10);
    } else {
      return std::nullopt;
    }
    hash.bytes[i / 2] = static_cast<std::uint8_t>(hash.bytes[i / 2] << 4U | digit);
  }
  return hash;
}

}  // namespace ribwright::ledger
