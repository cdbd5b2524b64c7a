// SPDX-License-Identifier: Apache-2.0
#include "server/schema_check.h"

#include <algorithm>
#include <chrono>
#include <set>

#include "base/check.h"

namespace ribwright::server {
namespace {

using Fault = SchemaCheck::Fault;

const std::set<std::string, std::less<>> kForceless = {
    "$schema", "title",         "description",     "default",    "example",
    "$defs",   "discriminator", "contentEncoding", "components", "openapi"};
const std::set<std::string, std::less<>> kForceful = {"$ref",
                                                      "type",
                                                      "enum",
                                                      "const",
                                                      "properties",
                                                      "required",
                                                      "additionalProperties",
                                                      "minProperties",
                                                      "items",
                                                      "minItems",
                                                      "maxItems",
                                                      "minimum",
                                                      "maximum",
                                                      "exclusiveMinimum",
                                                      "exclusiveMaximum",
                                                      "minLength",
                                                      "maxLength",
                                                      "pattern",
                                                      "format",
                                                      "oneOf",
                                                      "anyOf"};

bool IsOfType(const Json& value, const std::string& type) {
  if (type == "object") return value.is_object();
  if (type == "array") return value.is_array();
  if (type == "string") return value.is_string();
  if (type == "number") return value.is_number();
  if (type == "boolean") return value.is_boolean();
  if (type == "null") return value.is_null();
  return type == "integer" && value.is_number_integer();
}

std::size_t CodePoints(const std::string& text) {
  return static_cast<std::size_t>(
      std::count_if(text.begin(), text.end(), [](char c) { return (c & 0xC0) != 0x80; }));
}

std::string NumberText(const Json& value) { return value.dump(); }

std::optional<Fault> OfNumber(const Json& value, const Json& schema, const std::string& where) {
  const double x = value.get<double>();
  const auto limit = [&](const char* key) { return schema.find(key); };
  if (auto it = limit("minimum"); it != schema.end() && !(x >= it->get<double>())) {
    return Fault{where, "must be at least " + NumberText(*it)};
  }
  if (auto it = limit("maximum"); it != schema.end() && !(x <= it->get<double>())) {
    return Fault{where, "must be at most " + NumberText(*it)};
  }
  if (auto it = limit("exclusiveMinimum"); it != schema.end() && !(x > it->get<double>())) {
    return Fault{where, "must be over " + NumberText(*it)};
  }
  if (auto it = limit("exclusiveMaximum"); it != schema.end() && !(x < it->get<double>())) {
    return Fault{where, "must be under " + NumberText(*it)};
  }
  return std::nullopt;
}

int TwoDigits(std::string_view text, std::size_t at) {
  return (text[at] - '0') * 10 + (text[at + 1] - '0');
}

}  // namespace

bool IsUtcTime(std::string_view text) {
  static constexpr std::string_view kShape = "dddd-dd-ddTdd:dd:dd";
  if (text.size() < kShape.size() + 1 || text.size() > kShape.size() + 11 || text.back() != 'Z') {
    return false;
  }
  for (std::size_t i = 0; i < kShape.size(); ++i) {
    const bool digit = text[i] >= '0' && text[i] <= '9';
    if (kShape[i] == 'd' ? !digit : text[i] != kShape[i]) return false;
  }
  const std::string_view decimals = text.substr(kShape.size(), text.size() - kShape.size() - 1);
  if (!decimals.empty()) {
    if (decimals.front() != '.' || decimals.size() < 2) return false;
    if (!std::all_of(decimals.begin() + 1, decimals.end(),
                     [](char c) { return c >= '0' && c <= '9'; })) {
      return false;
    }
  }
  const std::chrono::year_month_day day{
      std::chrono::year(TwoDigits(text, 0) * 100 + TwoDigits(text, 2)),
      std::chrono::month(static_cast<unsigned>(TwoDigits(text, 5))),
      std::chrono::day(static_cast<unsigned>(TwoDigits(text, 8)))};
  return day.ok() && TwoDigits(text, 11) < 24 && TwoDigits(text, 14) < 60 &&
         TwoDigits(text, 17) < 60;
}

Result<SchemaCheck> SchemaCheck::Load(
    const std::vector<std::pair<std::string, std::string_view>>& documents) {
  SchemaCheck check;
  for (const auto& [name, text] : documents) {
    std::optional<Json> document = ParseJson(text);
    if (!document || !document->is_object()) {
      return Fail(Code::kDataUnusable, "The schema is not a JSON object.", name, "");
    }
    check.documents_.emplace_back(name, std::move(*document));
  }
  RIBWRIGHT_CHECK(!check.documents_.empty());
  for (std::size_t i = 0; i < check.documents_.size(); ++i) {
    const Json& root = check.documents_[i].second;
    // A schema document is a schema itself; of the API document the parts that are schemas count.
    const Status fits = root.contains("openapi") ? check.CheckSchemasUnder(root, i, "#")
                                                 : check.CheckKeywords(root, i, "#");
    if (!fits) return Fail(fits.error());
  }
  return check;
}

Status SchemaCheck::CheckSchemasUnder(const Json& node, std::size_t document,
                                      const std::string& path) {
  if (node.is_array()) {
    for (const Json& item : node) {
      if (const Status fits = CheckSchemasUnder(item, document, path); !fits) return fits;
    }
  }
  if (!node.is_object()) return {};
  for (const auto& [key, value] : node.items()) {
    const std::string here = path + "/" + key;
    Status fits;
    if (key == "schema") {
      fits = CheckKeywords(value, document, here);
    } else if (key == "schemas") {
      for (const auto& [name, schema] : value.items()) {
        fits = CheckKeywords(schema, document, here + "/" + name);
        if (!fits) return fits;
      }
    } else {
      fits = CheckSchemasUnder(value, document, here);
    }
    if (!fits) return fits;
  }
  return {};
}

Status SchemaCheck::CheckKeywords(const Json& schema, std::size_t document,
                                  const std::string& path) {
  const auto fail = [&](const std::string& what) {
    return Fail(Code::kDataUnusable, what, documents_[document].first + path, "");
  };
  if (schema.is_boolean()) return {};
  if (!schema.is_object()) return fail("A schema must be an object.");
  for (const auto& [key, value] : schema.items()) {
    if (!kForceless.contains(key) && !kForceful.contains(key) && key.rfind("x-", 0) != 0) {
      return fail("The keyword " + key + " is not known.");
    }
    if (key == "format" && value != "date-time" && value != "password") {
      return fail("The format is not known.");
    }
    if (key == "$ref" && Find(value.get<std::string>(), document).node == nullptr) {
      return fail("The reference " + value.get<std::string>() + " leads nowhere.");
    }
    if (key == "pattern") {
      const auto pattern = value.get<std::string>();
      patterns_.try_emplace(pattern, pattern, std::regex::ECMAScript | std::regex::optimize);
    }
    if (key == "properties" || key == "$defs") {
      for (const auto& [name, inner] : value.items()) {
        const Status fits = CheckKeywords(inner, document, path + "/" + name);
        if (!fits) return fits;
      }
    } else if (key == "items" || key == "additionalProperties") {
      if (const Status fits = CheckKeywords(value, document, path + "/" + key); !fits) return fits;
    } else if (key == "oneOf" || key == "anyOf") {
      for (const Json& inner : value) {
        const Status fits = CheckKeywords(inner, document, path + "/" + key);
        if (!fits) return fits;
      }
    }
  }
  return {};
}

SchemaCheck::Place SchemaCheck::Find(const std::string& ref, std::size_t document) const {
  const std::size_t hash = ref.find('#');
  const std::string file = ref.substr(0, hash);
  Place place{nullptr, document};
  if (!file.empty()) {
    const auto found = std::find_if(documents_.begin(), documents_.end(),
                                    [&](const auto& d) { return d.first == file; });
    if (found == documents_.end()) return place;
    place.document = static_cast<std::size_t>(found - documents_.begin());
  }
  const Json& root = documents_[place.document].second;
  if (hash == std::string::npos || hash + 1 == ref.size()) {
    place.node = &root;
    return place;
  }
  const Json::json_pointer pointer(ref.substr(hash + 1));
  if (root.contains(pointer)) place.node = &root.at(pointer);
  return place;
}

const Json& SchemaCheck::Resolve(const std::string& ref) const {
  const Place place = Find(ref, 0);
  RIBWRIGHT_CHECK(place.node != nullptr);
  return *place.node;
}

std::optional<Fault> SchemaCheck::Check(const Json& value, const Json& schema,
                                        const std::string& where) const {
  return Apply(value, schema, 0, where);
}

std::optional<Fault> SchemaCheck::Apply(const Json& value, const Json& schema, std::size_t document,
                                        const std::string& where) const {
  if (schema.is_boolean()) {
    if (schema.get<bool>()) return std::nullopt;
    return Fault{where, "is not asked for"};
  }
  if (const auto ref = schema.find("$ref"); ref != schema.end()) {
    const Place place = Find(ref->get<std::string>(), document);
    if (auto fault = Apply(value, *place.node, place.document, where)) return fault;
  }
  if (const auto type = schema.find("type"); type != schema.end()) {
    const bool fits =
        type->is_array()
            ? std::any_of(type->begin(), type->end(),
                          [&](const Json& t) { return IsOfType(value, t.get<std::string>()); })
            : IsOfType(value, type->get<std::string>());
    if (!fits) {
      return Fault{
          where, "must be of type " + (type->is_array() ? type->dump() : type->get<std::string>())};
    }
  }
  if (const auto fixed = schema.find("const"); fixed != schema.end() && value != *fixed) {
    return Fault{where, "must be " + fixed->dump()};
  }
  if (const auto list = schema.find("enum");
      list != schema.end() && std::find(list->begin(), list->end(), value) == list->end()) {
    return Fault{where, "must be one of " + list->dump()};
  }
  std::optional<Fault> fault;
  if (value.is_number()) fault = OfNumber(value, schema, where);
  if (value.is_string()) fault = OfString(value, schema, where);
  if (value.is_array()) fault = OfArray(value, schema, document, where);
  if (value.is_object()) fault = OfObject(value, schema, document, where);
  return fault ? fault : OfChoice(value, schema, document, where);
}

std::optional<Fault> SchemaCheck::OfString(const Json& value, const Json& schema,
                                           const std::string& where) const {
  const auto& text = value.get_ref<const std::string&>();
  const auto length = [&](const char* key) { return schema.find(key); };
  if (auto it = length("minLength");
      it != schema.end() && CodePoints(text) < it->get<std::size_t>()) {
    return Fault{where, "must have at least " + it->dump() + " characters"};
  }
  if (auto it = length("maxLength");
      it != schema.end() && CodePoints(text) > it->get<std::size_t>()) {
    return Fault{where, "must have at most " + it->dump() + " characters"};
  }
  if (auto it = schema.find("format");
      it != schema.end() && *it == "date-time" && !IsUtcTime(text)) {
    return Fault{where, "must be a time in UTC such as 2026-05-04T03:02:01Z"};
  }
  if (auto it = schema.find("pattern"); it != schema.end()) {
    // The expression engine recurses: a long text must not reach it.
    const auto& pattern = it->get_ref<const std::string&>();
    if (text.size() > 1000 || !std::regex_search(text, patterns_.find(pattern)->second)) {
      return Fault{where, "must look like " + pattern};
    }
  }
  return std::nullopt;
}

std::optional<Fault> SchemaCheck::OfArray(const Json& value, const Json& schema,
                                          std::size_t document, const std::string& where) const {
  if (auto it = schema.find("minItems");
      it != schema.end() && value.size() < it->get<std::size_t>()) {
    return Fault{where, "must have at least " + it->dump() + " entries"};
  }
  if (auto it = schema.find("maxItems");
      it != schema.end() && value.size() > it->get<std::size_t>()) {
    return Fault{where, "must have at most " + it->dump() + " entries"};
  }
  const auto items = schema.find("items");
  if (items == schema.end()) return std::nullopt;
  for (std::size_t i = 0; i < value.size(); ++i) {
    auto fault = Apply(value[i], *items, document, where + "[" + std::to_string(i) + "]");
    if (fault) return fault;
  }
  return std::nullopt;
}

std::optional<Fault> SchemaCheck::OfObject(const Json& value, const Json& schema,
                                           std::size_t document, const std::string& where) const {
  if (auto it = schema.find("required"); it != schema.end()) {
    for (const Json& name : *it) {
      if (!value.contains(name.get_ref<const std::string&>())) {
        return Fault{where + "." + name.get<std::string>(), "is missing"};
      }
    }
  }
  if (auto it = schema.find("minProperties");
      it != schema.end() && value.size() < it->get<std::size_t>()) {
    return Fault{where, "must have at least " + it->dump() + " keys"};
  }
  const auto properties = schema.find("properties");
  const auto others = schema.find("additionalProperties");
  for (const auto& [key, inner] : value.items()) {
    const Json* rule = nullptr;
    if (properties != schema.end()) {
      if (const auto it = properties->find(key); it != properties->end()) rule = &*it;
    }
    if (rule == nullptr && others != schema.end()) rule = &*others;
    if (rule == nullptr) continue;
    if (auto fault = Apply(inner, *rule, document, where + "." + key)) return fault;
  }
  return std::nullopt;
}

std::optional<Fault> SchemaCheck::OfChoice(const Json& value, const Json& schema,
                                           std::size_t document, const std::string& where) const {
  if (const auto any = schema.find("anyOf"); any != schema.end()) {
    std::optional<Fault> last;
    for (const Json& choice : *any) {
      last = Apply(value, choice, document, where);
      if (!last) break;
    }
    if (last) return last;
  }
  const auto one = schema.find("oneOf");
  if (one == schema.end()) return std::nullopt;
  if (const auto by = schema.find("discriminator"); by != schema.end()) {
    // The field that tells the kinds apart decides, so that the refusal speaks of that kind.
    const auto name = by->at("propertyName").get<std::string>();
    const auto given = value.is_object() ? value.find(name) : value.end();
    const Json& mapping = by->at("mapping");
    if (!value.is_object() || given == value.end() || !given->is_string() ||
        !mapping.contains(given->get<std::string>())) {
      return Fault{where + "." + name, "must name one of the kinds"};
    }
    const Place place = Find(mapping.at(given->get<std::string>()).get<std::string>(), document);
    return Apply(value, *place.node, place.document, where);
  }
  int fitting = 0;
  std::optional<Fault> last;
  for (const Json& choice : *one) {
    auto fault = Apply(value, choice, document, where);
    if (fault) {
      last = fault;
    } else {
      ++fitting;
    }
  }
  if (fitting == 1) return std::nullopt;
  return fitting == 0 ? last : Fault{where, "fits more than one of its kinds"};
}

}  // namespace ribwright::server
