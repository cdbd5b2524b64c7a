// SPDX-License-Identifier: Apache-2.0
// Accounts: users, their passwords and their sessions, kept in the house's database.
//
// A session ends kSessionEnds after sign-in, kSessionIdles after it was last used, when its user
// signs out, is made inactive or changes the password (the other sessions then). Times: our own
// choice. Names are compared as they are (lower case, by the API's pattern). The last active owner
// can neither be made inactive nor lose the role (kLastOwner).
// Failed sign-ins are throttled by name and address together (5 free tries), by address (20) and by
// name (50); the answer to a wrong password and to an unknown name is the same and takes the same
// work. Errors: kSignInFailed, kTooManyTries (mend says the wait in seconds), kNameTaken,
// kLastOwner, kNotFound, kSetupClosed, and those of the store. Thread-safe.
#pragma once

#include <mutex>
#include <optional>
#include <string>
#include <vector>

#include "base/result.h"
#include "server/roles.h"
#include "server/secrets.h"
#include "server/throttle.h"
#include "store/store.h"

namespace ribwright::server {

inline constexpr std::chrono::hours kSessionEnds{24 * 30};
inline constexpr std::chrono::hours kSessionIdles{24 * 7};

struct User {
  std::int64_t id = 0;
  std::string name;
  std::string full_name;
  Role role = Role::kTaster;
  bool active = true;
  units::UtcTime created;
  std::optional<std::string> created_by;
};

struct NewUser {
  std::string name;
  std::string full_name;
  Role role = Role::kTaster;
  std::string password;
};

struct UserChange {
  std::optional<std::string> full_name;
  std::optional<Role> role;
  std::optional<bool> active;
  std::optional<std::string> password;
};

struct Session {
  User user;
  std::string csrf_token;
  units::UtcTime ends;
  ledger::Hash kept;
};

struct SignedIn {
  std::string token;  // for the cookie
  Session session;
};

class Accounts {
 public:
  Accounts(store::Store& store, store::Clock clock, PasswordCost cost)
      : store_(store), clock_(std::move(clock)), cost_(cost) {}

  Result<bool> OwnerNeeded();
  // The token of the one-time link; made anew by each call, valid until used.
  std::string OpenSetup();
  Result<SignedIn> MakeOwner(const std::string& token, NewUser owner);

  Result<SignedIn> SignIn(const std::string& name, const std::string& password,
                          const std::string& address);
  // Nothing: no such session, or it has ended.
  Result<std::optional<Session>> Find(const std::string& token);
  Status SignOut(const Session& session);
  Status ChangePassword(const Session& session, const std::string& old_password,
                        const std::string& new_password, const std::string& address);

  Result<std::vector<User>> Users();
  Result<User> UserById(std::int64_t id);
  Result<User> Add(const NewUser& user, const std::string& by);
  Result<User> Change(std::int64_t id, const UserChange& change);

 private:
  Result<SignedIn> Begin(const User& user);
  Result<std::string> Hashed(const std::string& password) const;
  Status Throttled(const std::string& name, const std::string& address);
  void CountFailure(const std::string& name, const std::string& address);

  store::Store& store_;
  store::Clock clock_;
  PasswordCost cost_;
  Throttle throttle_;
  std::mutex setup_mutex_;
  std::string setup_token_;
  std::once_flag decoy_made_;
  std::string decoy_;  // hash of nobody's password
};

}  // namespace ribwright::server
