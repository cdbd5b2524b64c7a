// SPDX-License-Identifier: Apache-2.0
// Fields: strict reading of one JSON object. Each getter takes a key out; the first fault is kept
// and later getters give empty values; Finish refuses keys that nobody took. Errors kEntryUnusable
// with the key's path ("outputs[2].mass_g") in `where`. Masses are grams with at most three
// decimals; numbers of pieces and events may also be decimal text, as the API writes ids.
#pragma once

#include <functional>
#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/result.h"
#include "ledger/event.h"

namespace ribwright::ledger {

class Fields {
 public:
  Fields(const nlohmann::json& object, std::string path, std::optional<Error>& fault);

  bool Has(std::string_view key) const;
  std::string Text(std::string_view key, bool needed = false);
  std::int64_t Whole(std::string_view key, bool needed = false);   // 0 when absent
  std::int64_t Number(std::string_view key, bool needed = false);  // an id
  bool Flag(std::string_view key);
  std::optional<double> Real(std::string_view key);
  std::optional<units::Mass> Mass(std::string_view key);
  units::Mass NeededMass(std::string_view key);
  std::optional<units::Money> Money(std::string_view key);
  std::optional<units::Day> Day(std::string_view key);
  std::optional<units::UtcTime> Time(std::string_view key);
  std::optional<ledger::Hash> Hash(std::string_view key);
  const nlohmann::json* Object(std::string_view key, bool needed = false);
  void Each(std::string_view key, bool needed, const std::function<void(Fields&)>& take);
  void EachNumber(std::string_view key, const std::function<void(std::int64_t)>& take);

  void Refuse(std::string message, std::string_view key, std::string mend);
  void Refuse(const Error& error);
  void Finish();
  std::string PathOf(std::string_view key) const;

 private:
  const nlohmann::json* Take(std::string_view key, bool needed);
  std::optional<units::Mass> MassOf(const nlohmann::json& value, std::string_view key);
  std::int64_t NumberOf(const nlohmann::json& value, std::string_view key);

  const nlohmann::json& object_;
  std::string path_;
  std::optional<Error>& fault_;
  std::vector<std::string> taken_;
};

}  // namespace ribwright::ledger
