// SPDX-License-Identifier: Apache-2.0
// Every operation of schema/openapi.json is used, and every answer fits it: once by a story in
// which all succeed, once by requests made from the schema that must be refused.
#include "server/roles.h"
#include "server/test_house.h"

namespace ribwright::server {
namespace {

std::string IdOf(const Reply& reply) { return reply.json().value("id", std::string()); }
std::string FirstPiece(const Reply& reply) {
  return reply.json()["pieces"][0].value("id", std::string());
}

std::set<std::string> AllOperations() {
  std::set<std::string> all;
  for (const auto& [path, methods] : ApiSchema().main().at("paths").items()) {
    for (const auto& [method, node] : methods.items()) {
      all.insert(node.at("operationId").get<std::string>());
    }
  }
  return all;
}

void Judge(Client& owner, std::string& photo, std::string& face) {
  const Reply sent = owner.SendPhoto(SmallPhoto(300));
  ASSERT_EQ(sent.status, 201) << sent.body;
  photo = IdOf(sent);
  EXPECT_EQ(owner.Get("/photos").json()["items"].size(), 1U);
  owner.Get("/photos/" + photo);
  EXPECT_EQ(owner.Get("/photos/" + photo + "/original").body, SmallPhoto(300));
  EXPECT_EQ(owner.Get("/photos/" + photo + "/picture").status, 200);
  const Reply job = owner.Post("/jobs", {{"photo_id", photo}, {"options", {{"card", "none"}}}});
  ASSERT_EQ(job.status, 202) << job.body;
  const Json over = JobOver(owner, IdOf(job));
  ASSERT_EQ(over.value("state", ""), "done") << over.dump();
  face = over.value("face_id", "");
  EXPECT_EQ(owner.Get("/faces/" + face).json()["report"]["schema"], "ribwright.face/1");
  EXPECT_EQ(owner.Get("/faces/" + face + "/layers/fat").status, 200);
  EXPECT_EQ(owner.Get("/faces").json()["items"].size(), 1U);
}

void KeepAndCompare(Client& owner, const std::string& face, const std::string& piece) {
  const Reply report = owner.Get("/faces/" + face);
  const Reply edited = owner.Post("/faces/" + face + "/edits",
                                  {{"faces", report.json()["report"]["faces"]}}, "edit-key-1");
  ASSERT_EQ(edited.status, 201) << edited.body;
  EXPECT_EQ(edited.json()["edited_from"], face);
  const Reply again = owner.Post("/faces/" + face + "/edits",
                                 {{"faces", report.json()["report"]["faces"]}}, "edit-key-1");
  EXPECT_EQ(IdOf(again), IdOf(edited));
  const Reply compared = owner.Get("/compare?first=" + face + "&second=" + IdOf(edited));
  EXPECT_EQ(compared.status, 200) << compared.body;
  const Reply kept = owner.Write("PUT", "/faces/" + face + "/piece", {{"piece_id", piece}});
  ASSERT_EQ(kept.status, 200) << kept.body;
  EXPECT_EQ(kept.json()["event"]["by"], "ada");
  EXPECT_EQ(owner.Get("/faces?piece=" + piece).json()["items"].size(), 1U);
}

void Ledger(Client& owner, const std::string& piece) {
  const Reply cut =
      owner.Post("/events", {{"kind", "cut"},
                             {"piece_id", piece},
                             {"outputs", Json::array({Json{{"cut", "strip steak"}, {"mass_g", 400}},
                                                      Json{{"cut", "trim"}, {"mass_g", 90.5}}})},
                             {"loss_g", 9.5}});
  ASSERT_EQ(cut.status, 201) << cut.body;
  const Reply page = owner.Get("/pieces/" + piece);
  EXPECT_EQ(page.json()["piece"]["state"], "cut_up");
  EXPECT_EQ(page.json()["made_into"].size(), 2U);
  EXPECT_EQ(page.json()["faces"].size(), 1U);
  const std::string steak = page.json()["made_into"][0].value("id", "");
  EXPECT_EQ(owner.Get("/pieces/" + steak + "/trace").json()["up"].size(), 1U);
  EXPECT_EQ(owner.Get("/pieces?limit=1").json()["items"].size(), 1U);
  const std::string next = owner.Get("/pieces?limit=1").json().value("next", "");
  EXPECT_EQ(owner.Get("/pieces?limit=1&after=" + next).json()["items"].size(), 1U);
  EXPECT_GE(owner.Get("/events").json()["items"].size(), 4U);
  EXPECT_EQ(owner.Get("/events?kind=cut&piece=" + piece).json()["items"].size(), 1U);
  EXPECT_EQ(
      owner.Write("PUT", "/par", {{"cut", "strip steak"}, {"location", "rail"}, {"par_g", 900}})
          .json()["items"]
          .size(),
      1U);
  owner.Get("/par");
  const Reply stock = owner.Get("/stock?location=rail");
  ASSERT_FALSE(stock.json()["items"].empty()) << stock.body;
  EXPECT_EQ(stock.json()["items"][0]["short_g"], 500);
  const Reply count =
      owner.Post("/counts", {{"location", "rail"},
                             {"whole", true},
                             {"lines", Json::array({Json{{"piece_id", steak}, {"mass_g", 390}}})}});
  ASSERT_EQ(count.status, 201) << count.body;
  EXPECT_EQ(count.json()["variance_g"], -100.5);  // the trim was not found at all
  EXPECT_EQ(owner.Get("/counts/" + IdOf(count)).status, 200);
  EXPECT_EQ(owner.Get("/counts").json()["items"].size(), 1U);
  const Reply hits = owner.Get("/search?q=strip");
  EXPECT_FALSE(hits.json()["items"].empty()) << hits.body;
}

void Users(Client& owner) {
  const Json wanted = {{"name", "kim"}, {"role", "cook"}, {"password", "another long one"}};
  const Reply kim = owner.Post("/users", wanted, "user-key-1");
  ASSERT_EQ(kim.status, 201) << kim.body;
  EXPECT_EQ(IdOf(owner.Post("/users", wanted, "user-key-1")), IdOf(kim));
  EXPECT_EQ(owner.Post("/users", wanted).code(), "name_taken");
  EXPECT_EQ(owner.Write("PATCH", "/users/" + IdOf(kim), {{"role", "cutter"}}).status, 200);
  EXPECT_EQ(owner.Get("/users").json()["items"].size(), 2U);
}

TEST(Api, EveryOperationAnswersAsItsSchemaSays) {
  TestHouse house;
  Client owner(house);
  EXPECT_EQ(owner.Get("/health").json()["status"], "ok");
  EXPECT_EQ(owner.Get("/setup").json()["owner_needed"], true);
  ASSERT_EQ(owner.MakeOwner(house).status, 201);
  EXPECT_EQ(owner.Get("/session").json()["user"]["name"], "ada");
  owner.Get("/roles");
  owner.Get("/openapi.json");
  owner.Get("/face.schema.json");
  EXPECT_EQ(owner.Send("GET", "/problems/not_found").status, 200);
  Users(owner);

  const Reply settings = owner.Get("/settings");
  Json values = settings.json();
  values["units"] = "us";
  EXPECT_EQ(owner
                .Send("PUT", "/api/v1/settings", JsonText(values),
                      {{"If-Match", settings.header("ETag")}})
                .status,
            200);
  const Reply late = owner.Send("PUT", "/api/v1/settings", JsonText(values),
                                {{"If-Match", settings.header("ETag")}});
  EXPECT_EQ(late.status, 412);

  const Reply received = owner.Post("/events", {{"kind", "received"},
                                                {"cut", "strip loin"},
                                                {"mass_g", 500},
                                                {"cost", {{"minor", 2500}, {"currency", "EUR"}}},
                                                {"location", "rail"}});
  ASSERT_EQ(received.status, 201) << received.body;
  std::string photo;
  std::string face;
  Judge(owner, photo, face);
  KeepAndCompare(owner, face, FirstPiece(received));
  Ledger(owner, FirstPiece(received));

  EXPECT_EQ(owner
                .Write("PUT", "/session/password",
                       {{"old_password", "a long enough one"}, {"new_password", "a new long one"}})
                .status,
            204);
  Client second(house);
  EXPECT_EQ(second.SignIn("ada", "a new long one").status, 201);
  EXPECT_EQ(second.Send("DELETE", "/api/v1/session").status, 204);
  EXPECT_EQ(second.Get("/session").status, 401);
  EXPECT_EQ(Answered(), AllOperations());
}

// A value that fits a schema, as plain as can be.
Json Sample(const Json& schema) {
  if (const auto ref = schema.find("$ref"); ref != schema.end()) {
    return Sample(ApiSchema().Resolve(ref->get<std::string>()));
  }
  if (const auto fixed = schema.find("const"); fixed != schema.end()) return *fixed;
  if (const auto list = schema.find("enum"); list != schema.end()) return list->front();
  if (const auto one = schema.find("oneOf"); one != schema.end()) return Sample(one->front());
  const auto type = schema.find("type");
  const std::string kind =
      type == schema.end()
          ? "object"
          : (type->is_array() ? type->front().get<std::string>() : type->get<std::string>());
  if (kind == "boolean") return false;
  if (kind == "integer" || kind == "number") return schema.value("minimum", 1);
  if (kind == "array") return Json::array();
  if (kind == "string") {
    if (schema.value("format", "") == "date-time") return "2026-05-04T03:02:01Z";
    const std::string pattern = schema.value("pattern", "");
    if (pattern.find("{64}") != std::string::npos) return std::string(64, 'a');
    if (pattern.find("A-Z]{3}") != std::string::npos) return "EUR";
    if (pattern.find("[a-z]{2}(") != std::string::npos) return "en";
    return std::string(std::max<std::size_t>(schema.value("minLength", std::size_t{24}), 20), 'a');
  }
  Json object = Json::object();
  const auto properties = schema.find("properties");
  if (properties == schema.end()) return object;
  for (const Json& name : schema.value("required", Json::array())) {
    object[name.get<std::string>()] = Sample(properties->at(name.get<std::string>()));
  }
  return object;
}

std::string PathOf(const std::string& templ, const std::string& id) {
  std::string path;
  for (std::size_t i = 0; i < templ.size();) {
    if (templ[i] != '{') {
      path += templ[i++];
      continue;
    }
    path += id;
    i = templ.find('}', i) + 1;
  }
  return path;
}

struct Operation {
  std::string method;
  std::string path;
  const Json* node;
};

std::vector<Operation> Operations() {
  std::vector<Operation> all;
  for (const auto& [path, methods] : ApiSchema().main().at("paths").items()) {
    for (const auto& [method, node] : methods.items()) {
      std::string upper = method;
      std::transform(upper.begin(), upper.end(), upper.begin(),
                     [](unsigned char c) { return static_cast<char>(std::toupper(c)); });
      all.push_back({upper, path, &node});
    }
  }
  return all;
}

bool WantsJson(const Operation& operation) {
  const auto body = operation.node->find("requestBody");
  return body != operation.node->end() && body->at("content").contains("application/json");
}

std::string BodyOf(const Operation& operation) {
  if (!WantsJson(operation)) return "";
  return JsonText(
      Sample(operation.node->at("requestBody").at("content").at("application/json").at("schema")));
}

const httplib::Headers kUsualHeaders = {{"Idempotency-Key", "generated-key"},
                                        {"If-Match", "\"x\""}};

TEST(Api, WithoutASessionEverythingButWhatIsOpenIsRefused) {
  TestHouse house;
  Client owner(house);
  owner.MakeOwner(house);
  Client nobody(house);
  for (const Operation& operation : Operations()) {
    const bool open = operation.node->at("x-permission") == "none";
    if (open) continue;
    const Reply reply = nobody.Send(operation.method, PathOf(operation.path, "1"),
                                    BodyOf(operation), kUsualHeaders);
    EXPECT_EQ(reply.status, 401) << operation.method << operation.path;
    EXPECT_EQ(reply.code(), "not_signed_in");
  }
}

TEST(Api, WithoutTheTokenNothingIsChanged) {
  TestHouse house;
  Client owner(house);
  owner.MakeOwner(house);
  const std::string token = owner.csrf;
  for (const Operation& operation : Operations()) {
    if (operation.method == "GET" || operation.node->at("x-permission") == "none") continue;
    for (const std::string& wrong : {std::string(), std::string(64, '0')}) {
      httplib::Headers headers = kUsualHeaders;
      headers.emplace("X-CSRF-Token", wrong);
      const Reply reply =
          owner.Send(operation.method, PathOf(operation.path, "1"), BodyOf(operation), headers);
      EXPECT_EQ(reply.code(), "csrf_missing") << operation.method << operation.path;
    }
  }
  EXPECT_EQ(owner.Get("/session").json()["csrf_token"], token);
}

TEST(Api, EachRoleIsRefusedWhatItsTableDoesNotAllow) {
  TestHouse house;
  Client owner(house);
  owner.MakeOwner(house);
  int refused = 0;
  for (const Role role : Roles()) {
    const std::string name = std::string("u-") + std::string(RoleText(role));
    owner.Post("/users", {{"name", name}, {"role", RoleText(role)}, {"password", "0123456789"}});
    Client user(house);
    ASSERT_EQ(user.SignIn(name, "0123456789").status, 201);
    for (const Operation& operation : Operations()) {
      const auto needed = PermissionFromText(operation.node->at("x-permission").get<std::string>());
      if (!needed || May(role, *needed)) continue;
      const Reply reply = user.Send(operation.method, PathOf(operation.path, "1"),
                                    BodyOf(operation), kUsualHeaders);
      EXPECT_EQ(reply.status, 403) << RoleText(role) << " " << operation.path;
      EXPECT_EQ(reply.code(), "not_allowed");
      ++refused;
    }
  }
  EXPECT_GT(refused, 40);
}

TEST(Api, EventsAreRefusedByKindToRolesThatMayNotWriteThem) {
  TestHouse house;
  Client owner(house);
  owner.MakeOwner(house);
  const Reply received =
      owner.Post("/events", {{"kind", "received"}, {"cut", "strip loin"}, {"mass_g", 500}});
  owner.Post("/users", {{"name", "tess"}, {"role", "taster"}, {"password", "0123456789"}});
  Client taster(house);
  taster.SignIn("tess", "0123456789");
  const std::string piece = FirstPiece(received);
  EXPECT_EQ(
      taster.Post("/events", {{"kind", "discarded"}, {"piece_id", piece}, {"reason", "x"}}).code(),
      "not_allowed");
  const Reply tasted =
      taster.Post("/events", {{"kind", "tasted"}, {"piece_id", piece}, {"score", 70}});
  EXPECT_EQ(tasted.status, 201) << tasted.body;
  // A taste stays blind: no cut, no mass, no history in the answer or in a refusal.
  EXPECT_EQ(tasted.json()["code"], received.json()["pieces"][0]["code"]);
  EXPECT_EQ(tasted.json().size(), 3U) << tasted.body;
  const Reply other =
      owner.Post("/events", {{"kind", "received"}, {"cut", "strip loin"}, {"mass_g", 400}});
  const Reply voided = owner.Post(
      "/events",
      {{"kind", "voided"}, {"event_id", other.json()["event"]["id"]}, {"reason", "not ours"}});
  ASSERT_EQ(voided.status, 201) << voided.body;
  const Reply gone =
      taster.Post("/events", {{"kind", "tasted"}, {"piece_id", FirstPiece(other)}, {"score", 70}});
  EXPECT_EQ(gone.code(), "piece_gone") << gone.body;
  EXPECT_EQ(gone.json()["where"], "");
  EXPECT_FALSE(gone.json().contains("happened"));
}

// From a body that fits: each needed key left out, each key of a wrong type, a key too many.
TEST(Api, BodiesThatDoNotFitTheirSchemaAreRefusedWithTheirPlace) {
  TestHouse house;
  Client owner(house);
  owner.MakeOwner(house);
  int tried = 0;
  for (const Operation& operation : Operations()) {
    if (!WantsJson(operation) || operation.path.ends_with("/setup")) continue;
    const Json body = *ParseJson(BodyOf(operation));
    const auto expect_refused = [&](const Json& bad, const std::string& where) {
      const Reply reply =
          owner.Send(operation.method, PathOf(operation.path, "1"), JsonText(bad), kUsualHeaders);
      EXPECT_EQ(reply.status, 400) << operation.path << " took " << bad.dump();
      EXPECT_EQ(reply.code(), "request_invalid") << reply.body;
      if (!where.empty()) {
        EXPECT_EQ(reply.json().value("where", ""), where);
      }
      ++tried;
    };
    expect_refused(Json::array(), "");
    for (const auto& [key, value] : body.items()) {
      Json without = body;
      without.erase(key);
      expect_refused(without, "");
      Json wrong = body;
      wrong[key] = Json{{"not", "this"}};
      if (operation.path.ends_with("/events") || !value.is_object()) {
        expect_refused(wrong, "body." + key);
      }
    }
    if (operation.node->at("operationId") != "postEdits") {
      Json more = body;
      more["not_asked_for"] = 1;
      expect_refused(more, "body.not_asked_for");
    }
    const Reply broken =
        owner.Send(operation.method, PathOf(operation.path, "1"), "{\"a\":", kUsualHeaders);
    EXPECT_EQ(broken.code(), "request_invalid");
    const Reply typed = owner.Send(operation.method, PathOf(operation.path, "1"), "<a/>",
                                   kUsualHeaders, "text/xml");
    EXPECT_EQ(typed.status, 415);
  }
  EXPECT_GT(tried, 50);
}

TEST(Api, ParametersThatDoNotFitAreRefused) {
  TestHouse house;
  Client owner(house);
  owner.MakeOwner(house);
  for (const char* path :
       {"/pieces?limit=0", "/pieces?limit=501", "/pieces?limit=ten", "/pieces?state=lost",
        "/pieces?nonsense=1", "/search", "/pieces?after=x", "/events?kind=born", "/faces?photo=12",
        "/compare?first=1", "/pieces?limit=1&limit=2"}) {
    EXPECT_EQ(owner.Get(path).code(), "request_invalid") << path;
  }
  for (const char* path :
       {"/pieces/999", "/pieces/0", "/pieces/x%2Fy", "/faces/999", "/faces/1x",
        "/faces/99999999999999999999", "/photos/abc", "/jobs/none", "/counts/999",
        "/pieces/999/trace", "/faces/1/layers/skin", "/nothing"}) {
    EXPECT_EQ(owner.Get(path).status, 404) << path;
  }
  EXPECT_EQ(owner.Post("/events", {{"kind", "served"}, {"piece_id", "999"}}).code(),
            "piece_unknown");
  const Reply key = owner.Send("POST", "/api/v1/events", "{}", {});
  EXPECT_EQ(key.json().value("where", ""), "Idempotency-Key");
  const Reply wrong = owner.Send("PATCH", "/api/v1/stock", "{}");
  EXPECT_EQ(wrong.status, 405);
  EXPECT_EQ(wrong.header("Allow"), "GET");
}

}  // namespace
}  // namespace ribwright::server
