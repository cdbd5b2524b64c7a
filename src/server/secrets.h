// SPDX-License-Identifier: Apache-2.0
// Passwords and tokens, through libsodium.
//
// Passwords: Argon2id, two passes over 64 MiB (the library's "interactive" setting; 57 to 71 ms on
// a machine of two cores); the hash text holds its parameters and salt. At most two are worked out
// at a time, so that many tries at once do not take the machine's memory. Tokens: 32 random bytes
// in base64url without padding. Comparisons take the same time wherever texts differ. Thread-safe.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>

#include "ledger/hash.h"

namespace ribwright::server {

struct PasswordCost {
  unsigned long long passes = 2;
  std::size_t bytes = std::size_t{64} << 20;
  // For tests: the least that the library takes.
  static PasswordCost Least();
};

// Empty: no memory.
std::string HashPassword(std::string_view password, const PasswordCost& cost);
bool PasswordFits(const std::string& hash, std::string_view password);

std::string NewToken();
// What is kept of a token, and the CSRF token that goes with it: SHA-256 of a label and the token.
ledger::Hash KeptToken(std::string_view token);
std::string CsrfTokenOf(std::string_view token);
bool SameText(std::string_view a, std::string_view b);

}  // namespace ribwright::server
