// SPDX-License-Identifier: Apache-2.0
#include "server/roles.h"

#include <algorithm>
#include <array>
#include <utility>

namespace ribwright::server {
namespace {

using P = Permission;

constexpr std::array kRoles = {Role::kOwner, Role::kBuyer, Role::kCutter, Role::kCook,
                               Role::kTaster};
constexpr std::array<std::string_view, 5> kRoleTexts = {"owner", "buyer", "cutter", "cook",
                                                        "taster"};
constexpr std::array<std::string_view, 10> kPermissionTexts = {
    "judge", "read_ledger", "buy", "cut", "cook", "taste", "count", "correct", "settings", "users"};

constexpr unsigned Bit(P permission) { return 1U << static_cast<unsigned>(permission); }

constexpr std::array<unsigned, 5> kMay = {
    (1U << kPermissionTexts.size()) - 1,
    Bit(P::kJudge) | Bit(P::kReadLedger) | Bit(P::kBuy) | Bit(P::kCount),
    Bit(P::kJudge) | Bit(P::kReadLedger) | Bit(P::kCut) | Bit(P::kCount),
    Bit(P::kJudge) | Bit(P::kReadLedger) | Bit(P::kCook),
    Bit(P::kTaste),
};

template <typename T, std::size_t N>
std::optional<T> FromText(const std::array<std::string_view, N>& texts, std::string_view text) {
  const auto found = std::find(texts.begin(), texts.end(), text);
  if (found == texts.end()) return std::nullopt;
  return static_cast<T>(found - texts.begin());
}

}  // namespace

std::span<const Role> Roles() { return kRoles; }
std::string_view RoleText(Role role) { return kRoleTexts[static_cast<std::size_t>(role)]; }
std::optional<Role> RoleFromText(std::string_view text) { return FromText<Role>(kRoleTexts, text); }
std::string_view PermissionText(Permission permission) {
  return kPermissionTexts[static_cast<std::size_t>(permission)];
}
std::optional<Permission> PermissionFromText(std::string_view text) {
  return FromText<Permission>(kPermissionTexts, text);
}

bool May(Role role, Permission permission) {
  return (kMay[static_cast<std::size_t>(role)] & Bit(permission)) != 0;
}

std::vector<Permission> AllThatMay(Role role) {
  std::vector<Permission> all;
  for (std::size_t i = 0; i < kPermissionTexts.size(); ++i) {
    if (May(role, static_cast<Permission>(i))) all.push_back(static_cast<Permission>(i));
  }
  return all;
}

std::vector<Permission> ForEvent(ledger::EventKind kind) {
  using K = ledger::EventKind;
  switch (kind) {
    case K::kReceived:
      return {P::kBuy};
    case K::kWeighed:
    case K::kMoved:
    case K::kDiscarded:
      return {P::kBuy, P::kCut, P::kCook};
    case K::kCut:
    case K::kTrimmed:
    case K::kAged:
      return {P::kCut};
    case K::kCooked:
    case K::kServed:
      return {P::kCook};
    case K::kSold:
      return {P::kBuy, P::kCook};
    case K::kTasted:
      return {P::kTaste};
    case K::kCorrected:
    case K::kVoided:
      return {P::kCorrect};
    case K::kPhotographed:
    case K::kJudged:
    case K::kCounted:
      return {};
  }
  return {};
}

}  // namespace ribwright::server
