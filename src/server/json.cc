// SPDX-License-Identifier: Apache-2.0
#include "server/json.h"

namespace ribwright::server {

std::optional<Json> ParseJson(std::string_view text) {
  bool too_deep = false;
  const auto watch = [&](int depth, Json::parse_event_t, Json&) {
    too_deep = too_deep || depth > kMaxDepth;
    return !too_deep;
  };
  Json value = Json::parse(text.begin(), text.end(), watch, false);
  if (too_deep || value.is_discarded()) return std::nullopt;
  return value;
}

std::string JsonText(const Json& value) {
  return value.dump(-1, ' ', false, Json::error_handler_t::replace);
}

}  // namespace ribwright::server
