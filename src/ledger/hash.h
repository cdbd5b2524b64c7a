// SPDX-License-Identifier: Apache-2.0
// Hash: the SHA-256 of some bytes (FIPS 180-4), the fingerprint of events and photos.
//
// Text is 64 lower-case hexadecimal digits. Computed by libsodium. Thread-safe.
#pragma once

#include <array>
#include <compare>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>

namespace ribwright::ledger {

struct Hash {
  std::array<std::uint8_t, 32> bytes{};
  friend auto operator<=>(const Hash&, const Hash&) = default;
};

Hash HashOf(std::span<const std::uint8_t> bytes);
Hash HashOf(std::string_view text);

std::string HashText(const Hash& hash);
std::optional<Hash> HashFromText(std::string_view text);

}  // namespace ribwright::ledger
