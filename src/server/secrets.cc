// SPDX-License-Identifier: Apache-2.0
#include "server/secrets.h"

#include <sodium.h>

#include <array>
#include <semaphore>
#include <vector>

#include "base/check.h"

namespace ribwright::server {
namespace {

std::counting_semaphore<2> hashing(2);

struct Turn {
  Turn() { hashing.acquire(); }
  ~Turn() { hashing.release(); }
};

void NeedLibrary() { RIBWRIGHT_CHECK(sodium_init() >= 0); }

}  // namespace

PasswordCost PasswordCost::Least() {
  return {crypto_pwhash_OPSLIMIT_MIN, crypto_pwhash_MEMLIMIT_MIN};
}

std::string HashPassword(std::string_view password, const PasswordCost& cost) {
  NeedLibrary();
  const Turn turn;
  std::array<char, crypto_pwhash_STRBYTES> hash{};
  if (crypto_pwhash_str(hash.data(), password.data(), password.size(), cost.passes, cost.bytes) !=
      0) {
    return {};
  }
  return hash.data();
}

bool PasswordFits(const std::string& hash, std::string_view password) {
  NeedLibrary();
  const Turn turn;
  return crypto_pwhash_str_verify(hash.c_str(), password.data(), password.size()) == 0;
}

std::string NewToken() {
  NeedLibrary();
  std::array<unsigned char, 32> bytes{};
  randombytes_buf(bytes.data(), bytes.size());
  constexpr int kVariant = sodium_base64_VARIANT_URLSAFE_NO_PADDING;
  std::vector<char> text(sodium_base64_encoded_len(bytes.size(), kVariant));
  sodium_bin2base64(text.data(), text.size(), bytes.data(), bytes.size(), kVariant);
  return text.data();
}

ledger::Hash KeptToken(std::string_view token) {
  return ledger::HashOf(std::string("session:").append(token));
}

std::string CsrfTokenOf(std::string_view token) {
  return ledger::HashText(ledger::HashOf(std::string("csrf:").append(token)));
}

bool SameText(std::string_view a, std::string_view b) {
  return a.size() == b.size() && sodium_memcmp(a.data(), b.data(), a.size()) == 0;
}

}  // namespace ribwright::server
