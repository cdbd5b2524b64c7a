// SPDX-License-Identifier: Apache-2.0
// Signing in, sessions, and what keeps strangers out.
#include "server/accounts.h"
#include "server/test_house.h"
#include "server/throttle.h"

namespace ribwright::server {
namespace {

TEST(Setup, TheOneTimeLinkMakesOneOwnerAndNoMore) {
  TestHouse house;
  Client client(house);
  EXPECT_EQ(client
                .Post("/setup", {{"token", std::string(43, 'x')},
                                 {"name", "eve"},
                                 {"password", "a long enough one"}})
                .code(),
            "setup_closed");
  const std::string token = house.SetupToken();
  ASSERT_EQ(client.MakeOwner(house).status, 201);
  EXPECT_EQ(client.Get("/session").json()["user"]["role"], "owner");
  Client other(house);
  EXPECT_EQ(
      other.Post("/setup", {{"token", token}, {"name", "eve"}, {"password", "a long enough one"}})
          .code(),
      "setup_closed");
  EXPECT_EQ(other.Get("/setup").json()["owner_needed"], false);
  house.Stop();
  house.Start();
  EXPECT_EQ(house.serving->started().setup_url, "");
}

TEST(Session, OutlivesARestartAndEndsWithSignOutAndTime) {
  std::atomic<std::int64_t> now_ms = 1'800'000'000'000;
  TestHouse house(
      [&](ServeOptions& options) { options.store.clock = [&] { return units::UtcTime{now_ms}; }; });
  Client owner(house);
  const Reply made = owner.MakeOwner(house);
  ASSERT_EQ(made.status, 201);
  const std::string cookie = made.header("Set-Cookie");
  EXPECT_NE(cookie.find("HttpOnly"), std::string::npos);
  EXPECT_NE(cookie.find("SameSite=Strict"), std::string::npos);
  EXPECT_EQ(cookie.find("Secure"), std::string::npos);  // plain HTTP on loopback
  house.Stop();
  house.Start();
  Client again(house);
  again.cookie = owner.cookie;
  again.csrf = owner.csrf;
  EXPECT_EQ(again.Get("/session").status, 200);
  now_ms += std::chrono::milliseconds(kSessionIdles).count() - 1;
  EXPECT_EQ(again.Get("/session").status, 200);  // used in time: goes on
  now_ms += std::chrono::milliseconds(kSessionIdles).count() - 1;
  EXPECT_EQ(again.Get("/session").status, 200);
  now_ms += std::chrono::milliseconds(kSessionIdles).count();
  EXPECT_EQ(again.Get("/session").status, 401);  // idle for too long
  ASSERT_EQ(again.SignIn("ada", "a long enough one").status, 201);
  const std::string token = again.cookie;
  EXPECT_EQ(again.Send("DELETE", "/api/v1/session").status, 204);
  again.cookie = token;
  EXPECT_EQ(again.Get("/session").status, 401);
}

TEST(Session, ANewPasswordAndANewRoleHoldAtOnce) {
  TestHouse house;
  Client owner(house);
  owner.MakeOwner(house);
  const Reply kim =
      owner.Post("/users", {{"name", "kim"}, {"role", "cutter"}, {"password", "0123456789"}});
  const std::string id = kim.json().value("id", "");
  Client one(house);
  Client two(house);
  one.SignIn("kim", "0123456789");
  two.SignIn("kim", "0123456789");
  EXPECT_EQ(one.Write("PUT", "/session/password",
                      {{"old_password", "wrong"}, {"new_password", "abcdefghij"}})
                .code(),
            "sign_in_failed");
  EXPECT_EQ(one.Write("PUT", "/session/password",
                      {{"old_password", "0123456789"}, {"new_password", "abcdefghij"}})
                .status,
            204);
  EXPECT_EQ(one.Get("/session").status, 200);
  EXPECT_EQ(two.Get("/session").status, 401);
  EXPECT_EQ(one.Get("/stock").status, 200);
  owner.Write("PATCH", "/users/" + id, {{"role", "taster"}});
  EXPECT_EQ(one.Get("/stock").status, 403);
  owner.Write("PATCH", "/users/" + id, {{"active", false}});
  EXPECT_EQ(one.Get("/session").status, 401);
  EXPECT_EQ(one.SignIn("kim", "abcdefghij").code(), "sign_in_failed");
}

TEST(Users, TheLastOwnerStays) {
  TestHouse house;
  Client owner(house);
  const std::string id = owner.MakeOwner(house).json()["user"].value("id", "");
  EXPECT_EQ(owner.Write("PATCH", "/users/" + id, {{"role", "cook"}}).code(), "last_owner");
  EXPECT_EQ(owner.Write("PATCH", "/users/" + id, {{"active", false}}).code(), "last_owner");
  owner.Post("/users", {{"name", "bo"}, {"role", "owner"}, {"password", "0123456789"}});
  EXPECT_EQ(owner.Write("PATCH", "/users/" + id, {{"role", "cook"}}).status, 200);
}

TEST(SignIn, TriesThatFailMustWaitAndTheRightOneToo) {
  std::atomic<std::int64_t> now_ms = 1'800'000'000'000;
  TestHouse house(
      [&](ServeOptions& options) { options.store.clock = [&] { return units::UtcTime{now_ms}; }; });
  Client owner(house);
  owner.MakeOwner(house);
  Client client(house);
  for (int i = 0; i < 5; ++i) {
    EXPECT_EQ(client.SignIn("ada", "wrong").code(), "sign_in_failed");
  }
  const Reply wait = client.SignIn("ada", "a long enough one");
  EXPECT_EQ(wait.status, 429);
  EXPECT_EQ(wait.header("Retry-After"), "10");
  // An unknown name is answered in the same words.
  EXPECT_EQ(client.SignIn("nobody", "wrong").code(), "sign_in_failed");
  now_ms += 10'000;
  EXPECT_EQ(client.SignIn("ada", "a long enough one").status, 201);
}

TEST(Throttle, DoublesTheWaitUpToItsLongestAndForgets) {
  Throttle throttle;
  units::UtcTime now{1'000'000};
  for (int i = 0; i < 2; ++i) throttle.Failed("k", 3, now);
  EXPECT_EQ(throttle.WaitOf("k", now).count(), 0);
  throttle.Failed("k", 3, now);
  EXPECT_EQ(throttle.WaitOf("k", now).count(), 10);
  throttle.Failed("k", 3, now);
  EXPECT_EQ(throttle.WaitOf("k", now).count(), 20);
  for (int i = 0; i < 30; ++i) throttle.Failed("k", 3, now);
  EXPECT_EQ(throttle.WaitOf("k", now), Throttle::kLongestWait);
  EXPECT_EQ(throttle.WaitOf("other", now).count(), 0);
  now.ms += 3'600'001;
  throttle.Failed("k", 3, now);
  EXPECT_EQ(throttle.WaitOf("k", now).count(), 0);
}

TEST(Throttle, KeepsABoundedNumberOfKeysAndThoseThatWaitLongest) {
  Throttle throttle;
  const units::UtcTime now{1'000'000};
  for (int i = 0; i < 10; ++i) throttle.Failed("kept", 3, now);
  for (std::size_t i = 0; i <= Throttle::kMostKeys; ++i) {
    throttle.Failed("one " + std::to_string(i), 3, now);
  }
  EXPECT_GT(throttle.WaitOf("kept", now).count(), 0);
}

TEST(Source, OtherNamesAndOtherSitesPagesAreRefused) {
  TestHouse house;
  Client owner(house);
  owner.MakeOwner(house);
  const std::string own = "127.0.0.1:" + std::to_string(house.port());
  EXPECT_EQ(owner.Get("/health", {{"Host", "evil.example"}}).status, 421);
  EXPECT_EQ(owner.Get("/health", {{"Host", "localhost:" + std::to_string(house.port())}}).status,
            200);
  const auto change = [&](const httplib::Headers& headers) {
    httplib::Headers all = headers;
    all.emplace("Idempotency-Key", NewToken());
    return owner.Send("POST", "/api/v1/events", R"({"kind":"received","cut":"rib","mass_g":5000})",
                      all);
  };
  EXPECT_EQ(change({{"Origin", "http://evil.example"}}).code(), "foreign_origin");
  EXPECT_EQ(change({{"Origin", "null"}}).code(), "foreign_origin");
  EXPECT_EQ(change({{"Sec-Fetch-Site", "cross-site"}}).code(), "foreign_origin");
  EXPECT_EQ(change({{"Origin", "http://" + own}, {"Sec-Fetch-Site", "same-origin"}}).status, 201);
}

TEST(Answers, CarrySecurityHeadersGzipAndEtags) {
  TestHouse house;
  Client owner(house);
  owner.MakeOwner(house);
  const Reply page = owner.Send("GET", "/");
  EXPECT_EQ(page.status, 200);
  EXPECT_NE(page.header("Content-Security-Policy").find("default-src 'self'"), std::string::npos);
  EXPECT_EQ(page.header("X-Content-Type-Options"), "nosniff");
  EXPECT_EQ(owner.Send("GET", "/../etc/passwd").status, 404);

  const Reply plain = owner.Get("/openapi.json", {{"Accept-Encoding", "identity"}});
  EXPECT_EQ(plain.header("Content-Encoding"), "");
  EXPECT_EQ(plain.body, SchemaText("openapi.json"));
  const Reply packed = owner.Get("/openapi.json", {{"Accept-Encoding", "br;q=1, gzip;q=0.5"}});
  EXPECT_EQ(packed.header("Content-Encoding"), "gzip");
  EXPECT_EQ(packed.body, plain.body);  // the client unpacks
  EXPECT_EQ(
      owner.Get("/openapi.json", {{"Accept-Encoding", "gzip;q=0"}}).header("Content-Encoding"), "");
  const Reply same = owner.Get("/openapi.json", {{"If-None-Match", plain.header("ETag")}});
  EXPECT_EQ(same.status, 304);
  EXPECT_TRUE(same.body.empty());
}

}  // namespace
}  // namespace ribwright::server
