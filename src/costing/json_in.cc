// SPDX-License-Identifier: Apache-2.0
#include "costing/json_in.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/check.h"
#include "costing/amount.h"

namespace ribwright::costing {

Result<nlohmann::json> ParseObject(std::string_view text, const std::string& name) {
  auto json = nlohmann::json::parse(text, nullptr, false);
  if (!json.is_discarded() && json.is_object()) return json;
  return Fail(Code::kDataUnusable, "The text is not a JSON object.", name,
              "Write one object in braces; docs/format/trade.md shows its keys.");
}

JsonIn::JsonIn(const nlohmann::json& object, std::string path, std::optional<Error>& fault)
    : object_(object), path_(std::move(path)), fault_(fault) {
  RIBWRIGHT_CHECK(object.is_object());
}

void JsonIn::Refuse(const Error& error) {
  if (!fault_) fault_ = error;
}

void JsonIn::Refuse(std::string message, std::string_view key, std::string mend) {
  const std::string where = path_.empty() ? std::string(key)
                            : key.empty() ? path_
                                          : path_ + "." + std::string(key);
  Refuse({Code::kDataUnusable, std::move(message), where, std::move(mend)});
}

const nlohmann::json* JsonIn::Take(std::string_view key, bool needed) {
  taken_.emplace_back(key);
  const auto it = object_.find(key);
  if (it != object_.end() && !it->is_null()) return &*it;
  if (needed) Refuse("A key is missing.", key, fmt::format("Give \"{}\".", key));
  return nullptr;
}

std::string JsonIn::Text(std::string_view key, std::string otherwise) {
  const auto* value = Take(key, false);
  if (value == nullptr) return otherwise;
  if (value->is_string() && value->get_ref<const std::string&>().size() <= 200) {
    return value->get<std::string>();
  }
  Refuse("The value is not a text of at most 200 bytes.", key, "Write it in double quotes.");
  return {};
}

std::string JsonIn::NeededText(std::string_view key) {
  const std::string text = Text(key);
  if (text.empty()) Refuse("A text is missing.", key, fmt::format("Give \"{}\".", key));
  return text;
}

double JsonIn::Number(std::string_view key, double otherwise) {
  const auto* value = Take(key, false);
  if (value == nullptr) return otherwise;
  if (value->is_number() && std::isfinite(value->get<double>())) return value->get<double>();
  Refuse("The value is not a number.", key, "Write a number without quotes or unit.");
  return otherwise;
}

double JsonIn::NeededNumber(std::string_view key) {
  if (!Has(key)) Refuse("A number is missing.", key, fmt::format("Give \"{}\".", key));
  return Number(key, 0.0);
}

bool JsonIn::Flag(std::string_view key) {
  const auto* value = Take(key, false);
  if (value == nullptr) return false;
  if (value->is_boolean()) return value->get<bool>();
  Refuse("The value is not true or false.", key, "Write true or false.");
  return false;
}

std::optional<units::Mass> JsonIn::Mass(const std::string& name) {
  std::optional<units::Mass> mass;
  const std::pair<const char*, double> units_of_mass[] = {
      {"_g", 1.0}, {"_kg", 1000.0}, {"_lb", units::kGramsPerPound}};
  for (const auto& [end, grams] : units_of_mass) {
    const std::string key = name + end;
    if (!Has(key)) continue;
    const double value = Number(key, 0.0) * grams;
    if (mass || !(value >= 0.0 && value < 1e9)) {
      Refuse("The mass cannot be used.", key, "Give it once, in g, kg or lb, from 0 to 1000 t.");
      return std::nullopt;
    }
    mass = units::Mass::FromGrams(value);
  }
  return mass;
}

units::Mass JsonIn::NeededMass(const std::string& name) {
  const auto mass = Mass(name);
  if (!mass) {
    Refuse("A mass is missing.", name + "_g",
           fmt::format("Give \"{0}_g\", \"{0}_kg\" or \"{0}_lb\".", name));
  }
  return mass.value_or(units::Mass());
}

units::Currency JsonIn::Currency(std::string_view key) {
  const auto currency = units::Currency::FromText(Text(key, "EUR"));
  if (!currency) Refuse("This is no currency.", key, "Write three capital letters, as EUR.");
  return currency.value_or(*units::Currency::FromText("EUR"));
}

double JsonIn::PricePerKg(std::string_view key, bool needed) {
  const auto* value = Take(key, needed);
  if (value == nullptr) return 0.0;
  if (value->is_number() && std::isfinite(value->get<double>())) return value->get<double>();
  if (!value->is_object()) {
    Refuse("The value is not a price.", key, R"(Write {"amount": 24.5, "per": "kg"} or "lb".)");
    return 0.0;
  }
  JsonIn price(*value, path_.empty() ? std::string(key) : path_ + "." + std::string(key), fault_);
  const double amount = price.NeededNumber("amount");
  const std::string per = price.NeededText("per");
  price.Finish();
  if (per == "kg") return amount;
  if (per == "lb") return amount / kKgPerPound;
  Refuse("A price is per kg or per lb.", key, R"(Write "per": "kg" or "per": "lb".)");
  return 0.0;
}

Spread JsonIn::SpreadOf(std::string_view key, const Spread& otherwise) {
  const auto* value = Take(key, false);
  if (value == nullptr) return otherwise;
  if (value->is_number() && std::isfinite(value->get<double>())) {
    return Spread::Exact(value->get<double>(), Origin::kQuoted, "as entered");
  }
  if (!value->is_object()) {
    Refuse("The value is neither a number nor low, mid and high.", key,
           R"(Write 0.1 or {"low": 0.08, "mid": 0.1, "high": 0.13}.)");
    return otherwise;
  }
  JsonIn in(*value, path_.empty() ? std::string(key) : path_ + "." + std::string(key), fault_);
  Spread spread;
  spread.mid = in.NeededNumber("mid");
  spread.low = in.Number("low", spread.mid);
  spread.high = in.Number("high", spread.mid);
  const auto origin = OriginFromText(in.Text("origin", "assumed"));
  if (!origin) in.Refuse(origin.error());
  spread.origin = origin.value_or(Origin::kAssumed);
  spread.source = in.Text("source", "as entered");
  spread.stream = in.Text("stream");
  in.Finish();
  return spread;
}

void JsonIn::Each(std::string_view key, bool needed, const std::function<void(JsonIn&)>& take) {
  const auto* value = Take(key, needed);
  if (value == nullptr) return;
  if (!value->is_array() || value->size() > 10'000) {
    Refuse("The value is not a list.", key, "Write a list in square brackets.");
    return;
  }
  for (std::size_t i = 0; i < value->size(); ++i) {
    const std::string path = fmt::format("{}{}{}[{}]", path_, path_.empty() ? "" : ".", key, i);
    if (!(*value)[i].is_object()) {
      Refuse({Code::kDataUnusable, "An entry of the list is not an object.", path,
              "Write each entry in braces."});
      return;
    }
    JsonIn in((*value)[i], path, fault_);
    take(in);
    in.Finish();
  }
}

void JsonIn::Object(std::string_view key, const std::function<void(JsonIn&)>& take) {
  const auto* value = Take(key, false);
  if (value == nullptr) return;
  if (!value->is_object()) {
    Refuse("The value is not an object.", key, "Write it in braces.");
    return;
  }
  JsonIn in(*value, path_.empty() ? std::string(key) : path_ + "." + std::string(key), fault_);
  take(in);
  in.Finish();
}

void JsonIn::Finish() {
  for (const auto& [key, value] : object_.items()) {
    if (std::find(taken_.begin(), taken_.end(), key) == taken_.end()) {
      Refuse("The key is not known here.", key, "Take it away, or mend its spelling.");
    }
  }
}

}  // namespace ribwright::costing
