// SPDX-License-Identifier: Apache-2.0
// Who may what: five roles, ten permissions, one table.
//
//                 judge read_ledger buy cut cook taste count correct settings users
//   owner           x        x       x   x   x     x     x      x        x      x
//   buyer           x        x       x                   x
//   cutter          x        x           x               x
//   cook            x        x               x
//   taster                                         x
//
// A taster sees no ledger, so that a tasting stays blind. Correcting is the owner's, since it
// changes what others wrote. Our own choice. Pure, thread-safe.
#pragma once

#include <optional>
#include <span>
#include <string_view>
#include <vector>

#include "ledger/event.h"

namespace ribwright::server {

enum class Role { kOwner, kBuyer, kCutter, kCook, kTaster };
enum class Permission {
  kJudge,
  kReadLedger,
  kBuy,
  kCut,
  kCook,
  kTaste,
  kCount,
  kCorrect,
  kSettings,
  kUsers,
};

std::span<const Role> Roles();
std::string_view RoleText(Role role);
std::optional<Role> RoleFromText(std::string_view text);
std::string_view PermissionText(Permission permission);
std::optional<Permission> PermissionFromText(std::string_view text);

bool May(Role role, Permission permission);
std::vector<Permission> AllThatMay(Role role);

// Which permissions let a user write an event of this kind: any one of them. Empty: nobody writes
// it by hand (the server writes it in the course of something else).
std::vector<Permission> ForEvent(ledger::EventKind kind);

}  // namespace ribwright::server
