// SPDX-License-Identifier: Apache-2.0
#include "server/accounts.h"

#include "base/check.h"

namespace ribwright::server {
namespace {

using store::Connection;

constexpr const char* kUserColumns =
    "SELECT id, name, full_name, role, active, created_ms, created_by, password FROM account ";

struct UserRow {
  User user;
  std::string password;
};

UserRow RowOf(const store::Statement& row) {
  UserRow found;
  found.user.id = row.Int(0);
  found.user.name = row.Text(1);
  found.user.full_name = row.Text(2);
  const auto role = RoleFromText(row.Text(3));
  RIBWRIGHT_CHECK(role.has_value());  // the table's own check
  found.user.role = *role;
  found.user.active = row.Int(4) != 0;
  found.user.created = {row.Int(5)};
  if (!row.IsNull(6)) found.user.created_by = std::string(row.Text(6));
  found.password = row.Text(7);
  return found;
}

template <typename Key>
Result<std::optional<UserRow>> Row(Connection& db, std::string_view sql, const Key& key) {
  auto query = db.Prepare(sql);
  if (!query) return Fail(query.error());
  query->Bind(1, key);
  const auto there = query->Step();
  if (!there) return Fail(there.error());
  if (!*there) return std::optional<UserRow>();
  return std::optional<UserRow>(RowOf(*query));
}

Result<std::optional<UserRow>> RowByName(Connection& db, std::string_view name) {
  static const std::string sql = std::string(kUserColumns) + "WHERE name = ?";
  return Row(db, sql, name);
}
Result<std::optional<UserRow>> RowById(Connection& db, std::int64_t id) {
  static const std::string sql = std::string(kUserColumns) + "WHERE id = ?";
  return Row(db, sql, id);
}

Error NoSuchUser() {
  return {Code::kNotFound, "There is no such user.", "user", "Look at the list of users."};
}
Error WrongSignIn() {
  return {Code::kSignInFailed, "The name or the password is wrong, or the user is not active.", "",
          "Try again, or ask the owner for a new password."};
}

Result<std::int64_t> One(Connection& db, std::string_view sql) {
  auto query = db.Prepare(sql);
  if (!query) return Fail(query.error());
  const auto there = query->Step();
  if (!there) return Fail(there.error());
  return query->Int(0);
}

constexpr std::string_view kActiveOwners =
    "SELECT count(*) FROM account WHERE role = 'owner' AND active = 1";

Status Insert(Connection& db, const NewUser& user, const std::string& hash,
              const std::optional<std::string>& by, units::UtcTime now) {
  const auto taken = RowByName(db, user.name);
  if (!taken) return Fail(taken.error());
  if (*taken) {
    return Fail(Code::kNameTaken, "A user of that name exists.", "body.name",
                "Choose another name, or make that user active again.");
  }
  auto insert = db.Prepare(
      "INSERT INTO account (name, full_name, role, active, password, created_ms, created_by) "
      "VALUES (?, ?, ?, 1, ?, ?, ?)");
  if (!insert) return Fail(insert.error());
  insert->Bind(1, std::string_view(user.name));
  insert->Bind(2, std::string_view(user.full_name));
  insert->Bind(3, RoleText(user.role));
  insert->Bind(4, std::string_view(hash));
  insert->Bind(5, now.ms);
  if (by) {
    insert->Bind(6, std::string_view(*by));
  } else {
    insert->BindNull(6);
  }
  return insert->Run();
}

Status EndSessions(Connection& db, std::int64_t account, const ledger::Hash* but) {
  auto remove = db.Prepare("DELETE FROM session WHERE account = ? AND token IS NOT ?");
  if (!remove) return Fail(remove.error());
  remove->Bind(1, account);
  if (but != nullptr) {
    remove->Bind(2, std::span<const std::uint8_t>(but->bytes));
  } else {
    remove->BindNull(2);
  }
  return remove->Run();
}

std::string PairKey(const std::string& name, const std::string& address) {
  return std::string("pair ").append(name).append(" ").append(address);
}

}  // namespace

Result<bool> Accounts::OwnerNeeded() {
  bool needed = false;
  const Status read = store_.Read([&](Connection& db) -> Status {
    const auto count = One(db, "SELECT count(*) FROM account");
    if (!count) return Fail(count.error());
    needed = *count == 0;
    return {};
  });
  if (!read) return Fail(read.error());
  return needed;
}

std::string Accounts::OpenSetup() {
  const std::lock_guard lock(setup_mutex_);
  setup_token_ = NewToken();
  return setup_token_;
}

Result<std::string> Accounts::Hashed(const std::string& password) const {
  std::string hash = HashPassword(password, cost_);
  if (hash.empty()) {
    return Fail(Code::kInternal, "There is no memory to guard the password.", "", "Try again.");
  }
  return hash;
}

Result<SignedIn> Accounts::MakeOwner(const std::string& token, NewUser owner) {
  const std::lock_guard lock(setup_mutex_);
  if (setup_token_.empty() || !SameText(token, setup_token_)) {
    return Fail(Code::kSetupClosed, "The one-time link is wrong or used up.", "body.token",
                "Use the link that the terminal printed last, or sign in.");
  }
  owner.role = Role::kOwner;
  const auto hash = Hashed(owner.password);
  if (!hash) return Fail(hash.error());
  User made;
  const Status written = store_.Write([&](Connection& db) -> Status {
    const auto count = One(db, "SELECT count(*) FROM account");
    if (!count) return Fail(count.error());
    if (*count != 0) {
      return Fail(Code::kSetupClosed, "There is an owner already.", "", "Sign in.");
    }
    if (const Status put = Insert(db, owner, *hash, std::nullopt, clock_()); !put) return put;
    const auto row = RowByName(db, owner.name);
    if (!row) return Fail(row.error());
    made = (*row)->user;
    return {};
  });
  if (!written) return Fail(written.error());
  setup_token_.clear();
  return Begin(made);
}

Result<SignedIn> Accounts::Begin(const User& user) {
  SignedIn begun;
  begun.token = NewToken();
  begun.session.user = user;
  begun.session.csrf_token = CsrfTokenOf(begun.token);
  begun.session.kept = KeptToken(begun.token);
  const units::UtcTime now = clock_();
  begun.session.ends = now + kSessionEnds;
  const Status written = store_.Write([&](Connection& db) -> Status {
    auto stale = db.Prepare("DELETE FROM session WHERE ends_ms <= ?1 OR seen_ms <= ?2");
    if (!stale) return Fail(stale.error());
    stale->Bind(1, now.ms).Bind(2, (now - kSessionIdles).ms);
    if (const Status gone = stale->Run(); !gone) return gone;
    auto insert = db.Prepare(
        "INSERT INTO session (token, account, begun_ms, seen_ms, ends_ms) VALUES (?, ?, ?, ?, ?)");
    if (!insert) return Fail(insert.error());
    insert->Bind(1, std::span<const std::uint8_t>(begun.session.kept.bytes));
    insert->Bind(2, user.id).Bind(3, now.ms).Bind(4, now.ms).Bind(5, begun.session.ends.ms);
    return insert->Run();
  });
  if (!written) return Fail(written.error());
  return begun;
}

Status Accounts::Throttled(const std::string& name, const std::string& address) {
  const units::UtcTime now = clock_();
  const auto wait =
      std::max({throttle_.WaitOf(PairKey(name, address), now),
                throttle_.WaitOf("from " + address, now), throttle_.WaitOf("name " + name, now)});
  if (wait.count() == 0) return {};
  return Fail(Code::kTooManyTries, "Too many tries failed.", "",
              "Wait " + std::to_string(wait.count()) + " s.");
}

void Accounts::CountFailure(const std::string& name, const std::string& address) {
  const units::UtcTime now = clock_();
  throttle_.Failed(PairKey(name, address), 5, now);
  throttle_.Failed("from " + address, 20, now);
  throttle_.Failed("name " + name, 50, now);
}

Result<SignedIn> Accounts::SignIn(const std::string& name, const std::string& password,
                                  const std::string& address) {
  if (const Status free = Throttled(name, address); !free) return Fail(free.error());
  std::optional<UserRow> row;
  const Status read = store_.Read([&](Connection& db) -> Status {
    auto found = RowByName(db, name);
    if (!found) return Fail(found.error());
    row = std::move(*found);
    return {};
  });
  if (!read) return Fail(read.error());
  std::call_once(decoy_made_, [&] { decoy_ = HashPassword(NewToken(), cost_); });
  const bool fits = PasswordFits(row ? row->password : decoy_, password);
  if (!row || !fits || !row->user.active) {
    CountFailure(name, address);
    return Fail(WrongSignIn());
  }
  throttle_.Succeeded(PairKey(name, address));
  return Begin(row->user);
}

Result<std::optional<Session>> Accounts::Find(const std::string& token) {
  const ledger::Hash kept = KeptToken(token);
  const units::UtcTime now = clock_();
  std::optional<Session> found;
  bool stale_note = false;
  const Status read = store_.Read([&](Connection& db) -> Status {
    auto query = db.Prepare(
        "SELECT a.id, a.name, a.full_name, a.role, a.active, a.created_ms, a.created_by, "
        "a.password, s.ends_ms, s.seen_ms FROM session s JOIN account a ON a.id = s.account "
        "WHERE s.token = ?");
    if (!query) return Fail(query.error());
    query->Bind(1, std::span<const std::uint8_t>(kept.bytes));
    const auto there = query->Step();
    if (!there) return Fail(there.error());
    if (!*there) return {};
    const UserRow row = RowOf(*query);
    const units::UtcTime ends{query->Int(8)};
    const units::UtcTime seen{query->Int(9)};
    if (ends <= now || seen + kSessionIdles <= now || !row.user.active) return {};
    found = Session{row.user, CsrfTokenOf(token), ends, kept};
    stale_note = now - seen > std::chrono::hours(1);
    return {};
  });
  if (!read) return Fail(read.error());
  if (stale_note) {
    // Once an hour is enough to tell idle sessions, and costs no write a request.
    const Status noted = store_.Write([&](Connection& db) -> Status {
      auto update = db.Prepare("UPDATE session SET seen_ms = ? WHERE token = ?");
      if (!update) return Fail(update.error());
      update->Bind(1, now.ms).Bind(2, std::span<const std::uint8_t>(kept.bytes));
      return update->Run();
    });
    if (!noted) return Fail(noted.error());
  }
  return found;
}

Status Accounts::SignOut(const Session& session) {
  return store_.Write([&](Connection& db) -> Status {
    auto remove = db.Prepare("DELETE FROM session WHERE token = ?");
    if (!remove) return Fail(remove.error());
    remove->Bind(1, std::span<const std::uint8_t>(session.kept.bytes));
    return remove->Run();
  });
}

Status Accounts::ChangePassword(const Session& session, const std::string& old_password,
                                const std::string& new_password, const std::string& address) {
  const User& user = session.user;
  if (const Status free = Throttled(user.name, address); !free) return free;
  std::string hash;
  const Status read = store_.Read([&](Connection& db) -> Status {
    const auto row = RowById(db, user.id);
    if (!row) return Fail(row.error());
    if (!*row) return Fail(NoSuchUser());
    hash = (*row)->password;
    return {};
  });
  if (!read) return read;
  if (!PasswordFits(hash, old_password)) {
    CountFailure(user.name, address);
    return Fail(Code::kSignInFailed, "The old password is wrong.", "body.old_password",
                "Try again, or ask the owner for a new one.");
  }
  const auto fresh = Hashed(new_password);
  if (!fresh) return Fail(fresh.error());
  return store_.Write([&](Connection& db) -> Status {
    auto update = db.Prepare("UPDATE account SET password = ? WHERE id = ?");
    if (!update) return Fail(update.error());
    update->Bind(1, std::string_view(*fresh)).Bind(2, user.id);
    if (const Status put = update->Run(); !put) return put;
    return EndSessions(db, user.id, &session.kept);
  });
}

Result<std::vector<User>> Accounts::Users() {
  std::vector<User> users;
  const Status read = store_.Read([&](Connection& db) -> Status {
    static const std::string sql = std::string(kUserColumns) + "ORDER BY name";
    auto query = db.Prepare(sql);
    if (!query) return Fail(query.error());
    for (;;) {
      const auto there = query->Step();
      if (!there) return Fail(there.error());
      if (!*there) return {};
      users.push_back(RowOf(*query).user);
    }
  });
  if (!read) return Fail(read.error());
  return users;
}

Result<User> Accounts::UserById(std::int64_t id) {
  std::optional<UserRow> row;
  const Status read = store_.Read([&](Connection& db) -> Status {
    auto found = RowById(db, id);
    if (!found) return Fail(found.error());
    row = std::move(*found);
    return {};
  });
  if (!read) return Fail(read.error());
  if (!row) return Fail(NoSuchUser());
  return row->user;
}

Result<User> Accounts::Add(const NewUser& user, const std::string& by) {
  const auto hash = Hashed(user.password);
  if (!hash) return Fail(hash.error());
  User made;
  const Status written = store_.Write([&](Connection& db) -> Status {
    if (const Status put = Insert(db, user, *hash, by, clock_()); !put) return put;
    const auto row = RowByName(db, user.name);
    if (!row) return Fail(row.error());
    made = (*row)->user;
    return {};
  });
  if (!written) return Fail(written.error());
  return made;
}

Result<User> Accounts::Change(std::int64_t id, const UserChange& change) {
  std::optional<std::string> hash;
  if (change.password) {
    auto fresh = Hashed(*change.password);
    if (!fresh) return Fail(fresh.error());
    hash = std::move(*fresh);
  }
  User after;
  const Status written = store_.Write([&](Connection& db) -> Status {
    const auto row = RowById(db, id);
    if (!row) return Fail(row.error());
    if (!*row) return Fail(NoSuchUser());
    after = (*row)->user;
    const bool was_owner = after.role == Role::kOwner && after.active;
    if (change.full_name) after.full_name = *change.full_name;
    if (change.role) after.role = *change.role;
    if (change.active) after.active = *change.active;
    if (was_owner && (after.role != Role::kOwner || !after.active)) {
      const auto owners = One(db, kActiveOwners);
      if (!owners) return Fail(owners.error());
      if (*owners <= 1) {
        return Fail(Code::kLastOwner, "The last active owner must stay one.", "user",
                    "Make another user owner first.");
      }
    }
    auto update = db.Prepare(
        "UPDATE account SET full_name = ?, role = ?, active = ?, password = coalesce(?, password) "
        "WHERE id = ?");
    if (!update) return Fail(update.error());
    update->Bind(1, std::string_view(after.full_name)).Bind(2, RoleText(after.role));
    update->Bind(3, std::int64_t{after.active ? 1 : 0});
    if (hash) {
      update->Bind(4, std::string_view(*hash));
    } else {
      update->BindNull(4);
    }
    update->Bind(5, id);
    if (const Status put = update->Run(); !put) return put;
    if (!after.active || hash) return EndSessions(db, id, nullptr);
    return {};
  });
  if (!written) return Fail(written.error());
  return after;
}

}  // namespace ribwright::server
