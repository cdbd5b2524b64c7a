// SPDX-License-Identifier: Apache-2.0
#include "ledger/json_fields.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>

namespace ribwright::ledger {

using Json = nlohmann::json;

Fields::Fields(const Json& object, std::string path, std::optional<Error>& fault)
    : object_(object), path_(std::move(path)), fault_(fault) {
  if (!object_.is_object()) Refuse("This is not a JSON object.", "", "Write {…}.");
}

std::string Fields::PathOf(std::string_view key) const {
  if (path_.empty() || key.empty()) return path_ + std::string(key);
  return path_ + "." + std::string(key);
}

void Fields::Refuse(std::string message, std::string_view key, std::string mend) {
  Refuse({Code::kEntryUnusable, std::move(message), PathOf(key), std::move(mend)});
}

void Fields::Refuse(const Error& error) {
  if (!fault_) fault_ = error;
}

bool Fields::Has(std::string_view key) const {
  return object_.is_object() && object_.find(key) != object_.end();
}

const Json* Fields::Take(std::string_view key, bool needed) {
  if (!object_.is_object()) return nullptr;
  taken_.emplace_back(key);
  const auto found = object_.find(key);
  if (found != object_.end()) return &*found;
  if (needed) Refuse("This is missing.", key, "Give it.");
  return nullptr;
}

std::string Fields::Text(std::string_view key, bool needed) {
  const Json* value = Take(key, needed);
  if (value == nullptr) return {};
  if (!value->is_string()) {
    Refuse("This is not text.", key, "Write it in quotes.");
    return {};
  }
  return value->get<std::string>();
}

std::int64_t Fields::Whole(std::string_view key, bool needed) {
  const Json* value = Take(key, needed);
  if (value == nullptr) return 0;
  // Unsigned beyond int64 would wrap.
  if (!value->is_number_integer() ||
      (value->is_number_unsigned() && value->get<std::uint64_t>() > (std::uint64_t{1} << 62))) {
    Refuse("This is not a whole number.", key, "Give a whole number.");
    return 0;
  }
  return value->get<std::int64_t>();
}

std::int64_t Fields::NumberOf(const Json& value, std::string_view key) {
  std::int64_t number = 0;
  if (value.is_string()) {
    const auto& text = value.get_ref<const std::string&>();
    const auto [end, failed] = std::from_chars(text.data(), text.data() + text.size(), number);
    if (failed != std::errc() || end != text.data() + text.size()) number = 0;
  } else if (value.is_number_unsigned() && value.get<std::uint64_t>() <= (std::uint64_t{1} << 62)) {
    number = value.get<std::int64_t>();
  }
  if (number < 1) Refuse("This is not a number from 1 up.", key, "Give the number.");
  return number;
}

std::int64_t Fields::Number(std::string_view key, bool needed) {
  const Json* value = Take(key, needed);
  return value == nullptr ? 0 : NumberOf(*value, key);
}

bool Fields::Flag(std::string_view key) {
  const Json* value = Take(key, false);
  if (value == nullptr) return false;
  if (!value->is_boolean()) {
    Refuse("This is neither true nor false.", key, "Give true or false.");
    return false;
  }
  return value->get<bool>();
}

std::optional<double> Fields::Real(std::string_view key) {
  const Json* value = Take(key, false);
  if (value == nullptr) return std::nullopt;
  if (!value->is_number() || !std::isfinite(value->get<double>())) {
    Refuse("This is not a number.", key, "Give a number.");
    return std::nullopt;
  }
  return value->get<double>();
}

std::optional<units::Mass> Fields::MassOf(const Json& value, std::string_view key) {
  // Larger than anything CheckDraft lets through, small enough to hold milligrams exactly.
  constexpr double kMostGrams = 1e9;
  const double grams = value.is_number() ? value.get<double>() : std::nan("");
  if (!std::isfinite(grams) || std::fabs(grams) > kMostGrams ||
      std::fabs(std::round(grams * 1000.0) - grams * 1000.0) > 1e-3) {
    Refuse("This is not a mass in grams with at most three decimals.", key,
           "Give grams, such as 1250 or 312.5.");
    return std::nullopt;
  }
  return units::Mass::FromGrams(grams);
}

std::optional<units::Mass> Fields::Mass(std::string_view key) {
  const Json* value = Take(key, false);
  if (value == nullptr || value->is_null()) return std::nullopt;
  return MassOf(*value, key);
}

units::Mass Fields::NeededMass(std::string_view key) {
  const Json* value = Take(key, true);
  if (value == nullptr) return {};
  return MassOf(*value, key).value_or(units::Mass());
}

std::optional<units::Money> Fields::Money(std::string_view key) {
  const Json* value = Take(key, false);
  if (value == nullptr) return std::nullopt;
  Fields inner(*value, PathOf(key), fault_);
  const std::int64_t minor = inner.Whole("minor", true);
  const auto currency = units::Currency::FromText(inner.Text("currency", true));
  inner.Finish();
  constexpr std::int64_t kMost = 1'000'000'000'000;  // room for sums over every piece
  if (!currency || minor > kMost || minor < -kMost) {
    Refuse("This is no sum of money.", key,
           R"(Give smallest units and currency: {"minor":1250,"currency":"EUR"}.)");
    return std::nullopt;
  }
  return units::Money{minor, *currency};
}

std::optional<units::Day> Fields::Day(std::string_view key) {
  if (!Has(key)) return std::nullopt;
  auto day = units::DayFromText(Text(key));
  if (day) return *day;
  day.error().where = PathOf(key);
  Refuse(day.error());
  return std::nullopt;
}

std::optional<units::UtcTime> Fields::Time(std::string_view key) {
  if (!Has(key)) return std::nullopt;
  auto time = units::TimeFromText(Text(key));
  if (time) return *time;
  time.error().where = PathOf(key);
  Refuse(time.error());
  return std::nullopt;
}

std::optional<ledger::Hash> Fields::Hash(std::string_view key) {
  if (!Has(key)) return std::nullopt;
  const auto hash = HashFromText(Text(key));
  if (!hash) Refuse("This is no SHA-256.", key, "Give 64 digits 0 to 9, a to f.");
  return hash;
}

const Json* Fields::Object(std::string_view key, bool needed) {
  const Json* value = Take(key, needed);
  if (value == nullptr) return nullptr;
  if (!value->is_object()) {
    Refuse("This is not a JSON object.", key, "Write {…}.");
    return nullptr;
  }
  return value;
}

void Fields::Each(std::string_view key, bool needed, const std::function<void(Fields&)>& take) {
  const Json* list = Take(key, needed);
  if (list == nullptr) return;
  if (!list->is_array()) {
    Refuse("This is not a list.", key, "Write […].");
    return;
  }
  for (std::size_t i = 0; i < list->size(); ++i) {
    Fields inner((*list)[i], fmt::format("{}[{}]", PathOf(key), i), fault_);
    take(inner);
    inner.Finish();
  }
}

void Fields::EachNumber(std::string_view key, const std::function<void(std::int64_t)>& take) {
  const Json* list = Take(key, false);
  if (list == nullptr) return;
  if (!list->is_array()) {
    Refuse("This is not a list.", key, "Write […].");
    return;
  }
  for (const Json& value : *list) take(NumberOf(value, key));
}

void Fields::Finish() {
  if (!object_.is_object()) return;
  for (const auto& [key, value] : object_.items()) {
    if (std::find(taken_.begin(), taken_.end(), key) == taken_.end()) {
      Refuse("This key is not known here.", key, "Leave it out; docs/format/ledger.md lists them.");
    }
  }
}

}  // namespace ribwright::ledger
