// SPDX-License-Identifier: Apache-2.0
// JsonIn: strict reading of one JSON object of this layer's files. Each getter takes a key; the
// first fault is kept and later getters give empty values; Finish refuses keys that nobody took.
// Errors: kDataUnusable with the key's path ("stages[1].parts[0].share") in `where`.
//
// A spread is a number (exact) or {"mid","low","high","origin","source","stream"}. A price is
// {"amount": 24, "per": "kg" | "lb"} or a number per kg. A mass is "NAME_g", "NAME_kg" or
// "NAME_lb".
#pragma once

#include <functional>
#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/result.h"
#include "costing/spread.h"
#include "units/mass.h"
#include "units/money.h"

namespace ribwright::costing {

// One object, whole text, no key twice is checked by the parser's own rules; `name` says where it
// came from.
Result<nlohmann::json> ParseObject(std::string_view text, const std::string& name);

class JsonIn {
 public:
  JsonIn(const nlohmann::json& object, std::string path, std::optional<Error>& fault);

  bool Has(std::string_view key) const { return object_.contains(key); }
  std::string Text(std::string_view key, std::string otherwise = {});
  std::string NeededText(std::string_view key);
  double Number(std::string_view key, double otherwise);
  double NeededNumber(std::string_view key);
  bool Flag(std::string_view key);
  std::optional<units::Mass> Mass(const std::string& name);
  units::Mass NeededMass(const std::string& name);
  units::Currency Currency(std::string_view key);
  double PricePerKg(std::string_view key, bool needed);
  Spread SpreadOf(std::string_view key, const Spread& otherwise);
  // Each object of an array.
  void Each(std::string_view key, bool needed, const std::function<void(JsonIn&)>& take);
  void Object(std::string_view key, const std::function<void(JsonIn&)>& take);

  void Refuse(std::string message, std::string_view key, std::string mend);
  void Refuse(const Error& error);
  void Finish();

 private:
  const nlohmann::json* Take(std::string_view key, bool needed);

  const nlohmann::json& object_;
  std::string path_;
  std::optional<Error>& fault_;
  std::vector<std::string> taken_;
};

}  // namespace ribwright::costing
