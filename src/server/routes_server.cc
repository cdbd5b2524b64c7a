// SPDX-License-Identifier: Apache-2.0
// Health, the schemas, what a problem's code means.
#include <algorithm>

#include "base/check.h"
#include "server/embedded.h"
#include "server/routes.h"

namespace ribwright::server {
namespace {

Result<Answer> GetHealth(House& house, const Call&) {
  const Status database = house.store.Read([](store::Connection& db) -> Status {
    auto query = db.Prepare("SELECT count(*) FROM account");
    if (!query) return Fail(query.error());
    const auto there = query->Step();
    if (!there) return Fail(there.error());
    return {};
  });
  Json json;
  json["status"] = database ? "ok" : "failing";
  json["version"] = RIBWRIGHT_VERSION;
  json["database"] = database ? "ok" : "failing";
  json["judging"] = house.desk.judging();
  json["waiting"] = house.desk.waiting();
  json["sandbox"] = house.sandbox;
  return Answer::Of(json);
}

Handler SchemaHandler(std::string_view name) {
  const auto files = EmbeddedSchemas();
  const auto file = std::find_if(files.begin(), files.end(),
                                 [&](const EmbeddedFile& f) { return f.name == name; });
  RIBWRIGHT_CHECK(file != files.end());
  const std::string text(file->bytes.begin(), file->bytes.end());
  return [text](const Call&) -> Result<Answer> {
    Answer answer;
    answer.body = text;
    return std::move(answer).Tagged();
  };
}

Result<Answer> GetProblem(const Call& call) {
  const std::string& text = call.path.find("code")->second;
  const auto table = CodeTable();
  const auto entry =
      std::find_if(table.begin(), table.end(), [&](const CodeEntry& e) { return e.text == text; });
  if (entry == table.end()) {
    return Fail(Code::kNotFound, "There is no such code.", "code", "");
  }
  Json json;
  json["code"] = text;
  json["meaning"] = std::string(entry->meaning);
  return Answer::Of(json);
}

}  // namespace

Handlers ServerHandlers(House& house) {
  return {{"getHealth", [&house](const Call& call) { return GetHealth(house, call); }},
          {"getOpenApi", SchemaHandler("openapi.json")},
          {"getFaceSchema", SchemaHandler("face.schema.json")},
          {"getProblem", GetProblem}};
}

}  // namespace ribwright::server
