// SPDX-License-Identifier: Apache-2.0
// JSON in the server: one name for the library's type, and reading without exceptions.
//
// Keys keep the order in which they were added, so that answers read as the schema does. ParseJson
// refuses what is not one whole JSON value, text that is not UTF-8, and nesting deeper than
// kMaxDepth (our own limit: far more than any request needs, far less than the stack holds).
#pragma once

#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <string_view>

namespace ribwright::server {

using Json = nlohmann::ordered_json;

inline constexpr int kMaxDepth = 32;

std::optional<Json> ParseJson(std::string_view text);
// Bytes that are not UTF-8 become U+FFFD.
std::string JsonText(const Json& value);

}  // namespace ribwright::server
