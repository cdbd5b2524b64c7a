// SPDX-License-Identifier: Apache-2.0
#include "ledger/chain.h"

#include <charconv>
#include <string>

namespace ribwright::ledger {
namespace {

void Number(std::int64_t value, std::string& out) {
  char digits[24];
  out.append(digits, std::to_chars(digits, digits + sizeof digits, value).ptr);
}

void Field(std::string_view bytes, std::string& out) {
  Number(static_cast<std::int64_t>(bytes.size()), out);
  out += ':';
  out += bytes;
  out += ',';
}

void Field(std::int64_t value, std::string& out) {
  std::string text;
  Number(value, text);
  Field(text, out);
}

}  // namespace

Hash ChainHash(const Hash& previous, const Link& link) {
  std::string bytes(reinterpret_cast<const char*>(previous.bytes.data()), previous.bytes.size());
  bytes.reserve(160 + link.user.size() + link.key.size() + link.note.size() + link.data.size());
  Field("ribwright.event/1", bytes);
  Field(link.number, bytes);
  Field(link.kind, bytes);
  Field(link.happened.ms, bytes);
  Field(link.written.ms, bytes);
  Field(link.user, bytes);
  Field(link.key, bytes);
  Field(link.note, bytes);
  Field(link.data, bytes);
  return HashOf(bytes);
}

}  // namespace ribwright::ledger
