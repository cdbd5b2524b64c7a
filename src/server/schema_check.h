// SPDX-License-Identifier: Apache-2.0
// SchemaCheck: does a JSON value fit a schema of openapi.json?
//
// The keywords of JSON Schema 2020-12 that schema/openapi.json and schema/face.schema.json use:
// $ref (inside a document, or from one to the other), type, enum, const, properties, required,
// additionalProperties, minProperties, items, minItems, maxItems, minimum, maximum,
// exclusiveMinimum, exclusiveMaximum, minLength, maxLength (in code points), pattern, format
// date-time (UTC, RFC 3339), oneOf, anyOf, discriminator. Keywords without force (description,
// title, default, x-…) are passed over; any other makes Load() fail, so that the documents cannot
// outgrow the check. Why our own: OpenAPI 3.1 speaks the 2020-12 dialect, which the packaged C++
// checkers do not, and refusals must name the field in a user's words. Thread-safe after loading.
#pragma once

#include <map>
#include <optional>
#include <regex>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "base/result.h"
#include "server/json.h"

namespace ribwright::server {

// "2026-05-04T03:02:01Z", with up to nine decimals of a second; a real day and time.
bool IsUtcTime(std::string_view text);

class SchemaCheck {
 public:
  // `name` is what other documents' $ref call it ("face.schema.json"); the first is the main one.
  // kDataUnusable: not JSON, an unknown keyword, a $ref that leads nowhere.
  static Result<SchemaCheck> Load(
      const std::vector<std::pair<std::string, std::string_view>>& documents);

  struct Fault {
    std::string where;  // "body.outputs[0].mass_g"
    std::string what;   // "must be at least 0"
  };
  // `schema` is a node of the main document. Nothing when the value fits.
  std::optional<Fault> Check(const Json& value, const Json& schema, const std::string& where) const;

  const Json& main() const { return documents_.front().second; }
  // The node that "#/a/b" or "other.json#/a" names in the main document.
  const Json& Resolve(const std::string& ref) const;

 private:
  struct Place {
    const Json* node = nullptr;
    std::size_t document = 0;
  };
  SchemaCheck() = default;
  Place Find(const std::string& ref, std::size_t document) const;
  Status CheckKeywords(const Json& schema, std::size_t document, const std::string& path);
  Status CheckSchemasUnder(const Json& node, std::size_t document, const std::string& path);
  std::optional<Fault> Apply(const Json& value, const Json& schema, std::size_t document,
                             const std::string& where) const;
  std::optional<Fault> OfObject(const Json& value, const Json& schema, std::size_t document,
                                const std::string& where) const;
  std::optional<Fault> OfArray(const Json& value, const Json& schema, std::size_t document,
                               const std::string& where) const;
  std::optional<Fault> OfString(const Json& value, const Json& schema,
                                const std::string& where) const;
  std::optional<Fault> OfChoice(const Json& value, const Json& schema, std::size_t document,
                                const std::string& where) const;

  std::vector<std::pair<std::string, Json>> documents_;
  std::map<std::string, std::regex, std::less<>> patterns_;
};

}  // namespace ribwright::server
