// SPDX-License-Identifier: Apache-2.0
#include "server/routes.h"

#include <charconv>

#include "base/check.h"

namespace ribwright::server {
namespace {

std::optional<std::int64_t> WholeNumber(std::string_view text) {
  std::int64_t number = 0;
  const auto [end, bad] = std::from_chars(text.data(), text.data() + text.size(), number);
  if (bad != std::errc() || end != text.data() + text.size() || number < 1) return std::nullopt;
  return number;
}

}  // namespace

Handlers AllHandlers(House& house) {
  Handlers all;
  for (auto* some :
       {&AccountHandlers, &PhotoHandlers, &FaceHandlers, &LedgerHandlers, &ServerHandlers}) {
    for (auto& [operation, handler] : some(house)) {
      RIBWRIGHT_CHECK(all.emplace(operation, std::move(handler)).second);
    }
  }
  return all;
}

Answer ListAnswer(Json items, bool full, const std::string& next) {
  Json json;
  json["items"] = std::move(items);
  json["next"] = full ? Json(next) : Json();
  return Answer::Of(json);
}

Result<std::int64_t> NumberOf(const Call& call, std::string_view name) {
  const auto number = WholeNumber(call.path.find(name)->second);
  if (number) return *number;
  return Fail(Code::kNotFound, "There is no such " + std::string(name) + ".", std::string(name),
              "Go back to the list.");
}

Result<std::int64_t> AfterOf(const Call& call) {
  const std::string text = call.Query("after");
  if (text.empty()) return 0;
  const auto number = WholeNumber(text);
  if (number) return *number;
  return Fail(Code::kRequestInvalid, "This is no end of a page.", "after",
              "Send `next` of the page before.");
}

}  // namespace ribwright::server
