// SPDX-License-Identifier: Apache-2.0
// Sign-in, users, settings.
#include "server/routes.h"
#include "server/view_json.h"

namespace ribwright::server {
namespace {

std::string TextOf(const Json& body, const char* key) {
  const auto found = body.find(key);
  return found == body.end() ? std::string() : found->get<std::string>();
}

template <typename T>
std::optional<T> Given(const Json& body, const char* key) {
  const auto found = body.find(key);
  if (found == body.end()) return std::nullopt;
  return found->get<T>();
}

Answer SignedInAnswer(const House& house, const SignedIn& signed_in) {
  Answer answer = Answer::Of(SessionJson(signed_in.session), 201);
  answer.headers.emplace_back(
      "Set-Cookie", house.cookie(signed_in.token,
                                 std::chrono::duration_cast<std::chrono::seconds>(kSessionEnds)));
  return answer;
}

Result<Answer> GetSetup(House& house, const Call&) {
  const auto needed = house.accounts.OwnerNeeded();
  if (!needed) return Fail(needed.error());
  Json json;
  json["owner_needed"] = *needed;
  json["version"] = RIBWRIGHT_VERSION;
  return Answer::Of(json);
}

Result<Answer> PostSetup(House& house, const Call& call) {
  NewUser owner;
  owner.name = TextOf(call.body, "name");
  owner.full_name = TextOf(call.body, "full_name");
  owner.password = TextOf(call.body, "password");
  const auto made = house.accounts.MakeOwner(TextOf(call.body, "token"), owner);
  if (!made) return Fail(made.error());
  return SignedInAnswer(house, *made);
}

Result<Answer> PostSession(House& house, const Call& call) {
  const auto signed_in = house.accounts.SignIn(
      TextOf(call.body, "name"), TextOf(call.body, "password"), call.http->remote_addr);
  if (!signed_in) return Fail(signed_in.error());
  return SignedInAnswer(house, *signed_in);
}

Result<Answer> DeleteSession(House& house, const Call& call) {
  if (const Status out = house.accounts.SignOut(*call.session); !out) return Fail(out.error());
  Answer answer = Answer::Empty();
  answer.headers.emplace_back("Set-Cookie", house.cookie("", std::chrono::seconds(0)));
  return answer;
}

Result<Answer> PutPassword(House& house, const Call& call) {
  const Status changed =
      house.accounts.ChangePassword(*call.session, TextOf(call.body, "old_password"),
                                    TextOf(call.body, "new_password"), call.http->remote_addr);
  if (!changed) return Fail(changed.error());
  return Answer::Empty();
}

Result<Answer> GetRoles(House&, const Call&) {
  Json items = Json::array();
  for (const Role role : Roles()) {
    Json one;
    one["role"] = std::string(RoleText(role));
    one["may"] = Json::array();
    for (const Permission permission : AllThatMay(role)) {
      one["may"].push_back(std::string(PermissionText(permission)));
    }
    items.push_back(std::move(one));
  }
  Json json;
  json["items"] = std::move(items);
  return Answer::Of(json).Tagged();
}

Result<Answer> GetUsers(House& house, const Call&) {
  const auto users = house.accounts.Users();
  if (!users) return Fail(users.error());
  Json json;
  json["items"] = Json::array();
  for (const User& user : *users) json["items"].push_back(UserJson(user));
  return Answer::Of(json);
}

Result<Answer> PostUser(House& house, const Call& call) {
  // The password stays out of what is kept for comparing: its hash would be quick to try out.
  Json compared = call.body;
  compared.erase("password");
  const ledger::Hash request = ledger::HashOf(JsonText(compared));
  const auto before = house.book.DoneBefore(call.user().id, call.once, call.operation, request);
  if (!before) return Fail(before.error());
  if (*before) {
    const auto user = house.accounts.UserById(std::stoll(**before));
    if (!user) return Fail(user.error());
    return Answer::Of(UserJson(*user), 201);
  }
  NewUser wanted;
  wanted.name = TextOf(call.body, "name");
  wanted.full_name = TextOf(call.body, "full_name");
  wanted.password = TextOf(call.body, "password");
  wanted.role = *RoleFromText(TextOf(call.body, "role"));
  const auto user = house.accounts.Add(wanted, call.user().name);
  if (!user) return Fail(user.error());
  const Status noted = house.book.NoteDone(call.user().id, call.once, call.operation, request,
                                           std::to_string(user->id), house.clock());
  if (!noted) return Fail(noted.error());
  return Answer::Of(UserJson(*user), 201);
}

Result<Answer> PatchUser(House& house, const Call& call) {
  const auto id = NumberOf(call, "user");
  if (!id) return Fail(id.error());
  UserChange change;
  change.full_name = Given<std::string>(call.body, "full_name");
  change.active = Given<bool>(call.body, "active");
  change.password = Given<std::string>(call.body, "password");
  if (const auto role = Given<std::string>(call.body, "role")) change.role = RoleFromText(*role);
  const auto user = house.accounts.Change(*id, change);
  if (!user) return Fail(user.error());
  return Answer::Of(UserJson(*user));
}

Answer SettingsAnswer(const Settings& settings) {
  Answer answer = Answer::Of(settings.values);
  answer.etag = settings.Etag();
  answer.cache = "private, no-cache";
  return answer;
}

Result<Answer> GetSettings(House& house, const Call&) {
  const auto settings = house.settings.Read();
  if (!settings) return Fail(settings.error());
  return SettingsAnswer(*settings);
}

Result<Answer> PutSettings(House& house, const Call& call) {
  const auto settings =
      house.settings.Replace(call.body, call.http->get_header_value("If-Match"), call.user().name);
  if (!settings) return Fail(settings.error());
  return SettingsAnswer(*settings);
}

}  // namespace

Handlers AccountHandlers(House& house) {
  const auto bind = [&house](Result<Answer> (*handle)(House&, const Call&)) {
    return [&house, handle](const Call& call) { return handle(house, call); };
  };
  return {
      {"getSetup", bind(GetSetup)},
      {"postSetup", bind(PostSetup)},
      {"getSession",
       [](const Call& call) -> Result<Answer> { return Answer::Of(SessionJson(*call.session)); }},
      {"postSession", bind(PostSession)},
      {"deleteSession", bind(DeleteSession)},
      {"putPassword", bind(PutPassword)},
      {"getRoles", bind(GetRoles)},
      {"getUsers", bind(GetUsers)},
      {"postUser", bind(PostUser)},
      {"patchUser", bind(PatchUser)},
      {"getSettings", bind(GetSettings)},
      {"putSettings", bind(PutSettings)}};
}

}  // namespace ribwright::server
