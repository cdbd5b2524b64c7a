// SPDX-License-Identifier: Apache-2.0
#include "costing/market_report.h"

#include <fmt/format.h>

#include <array>
#include <map>
#include <nlohmann/json.hpp>

#include "base/check.h"
#include "costing/loose_day.h"
#include "units/mass.h"

namespace ribwright::costing {
namespace {

using Row = std::map<std::string, std::string, std::less<>>;

std::string Field(const Row& row, std::string_view key) {
  const auto it = row.find(key);
  return it == row.end() ? std::string() : it->second;
}

struct Reader {
  MarketReport report;
  std::map<std::string, std::size_t> places;  // key -> index in prices

  void Bad(std::size_t line, std::string reason, const Row& row) {
    std::string text = Field(row, "item_description");
    if (text.size() > 120) text.resize(120);
    report.bad.push_back({line, std::move(reason), IsUtf8(text) ? text : "(not shown)"});
  }

  void Take(std::size_t line, const std::string& section, const Row& row) {
    const auto day = LooseDay(Field(row, "report_date"), DayOrder::kMdy);
    if (!day) return Bad(line, "report_date is not MM/DD/YYYY.", row);
    if (row.contains("choice_600_900_current") || row.contains("select_600_900_current")) {
      const auto choice = LooseNumber(Field(row, "choice_600_900_current"), '.');
      const auto select = LooseNumber(Field(row, "select_600_900_current"), '.');
      if (!choice || !select) return Bad(line, "A cutout value is no number.", row);
      if (*choice > 0.0 && *select > 0.0) report.cutouts.push_back({*day, *choice, *select});
      return;
    }
    if (row.contains("item_description")) Price(line, section, *day, row);
  }

  void Price(std::size_t line, const std::string& section, units::Day day, const Row& row) {
    MarketPrice price;
    price.day = day;
    price.section = section;
    price.description = Field(row, "item_description");
    if (price.description.empty()) return Bad(line, "item_description is empty.", row);
    std::array<double, 5> numbers{};
    const std::array<const char*, 5> keys = {"number_trades", "total_pounds", "price_range_low",
                                             "price_range_high", "weighted_average"};
    for (std::size_t i = 0; i < keys.size(); ++i) {
      const std::string text = Field(row, keys[i]);
      if (text.empty()) continue;
      const auto number = LooseNumber(text, '.');
      if (!number || *number < 0.0 || *number > 1e9) {
        return Bad(line, fmt::format("{}: \"{}\" is not a number.", keys[i], text.substr(0, 40)),
                   row);
      }
      numbers[i] = *number;
    }
    price.trades = static_cast<std::int64_t>(numbers[0]);
    price.pounds = numbers[1];
    price.low = numbers[2];
    price.high = numbers[3];
    price.mean = numbers[4];
    if (price.mean == 0.0 || price.trades == 0) {
      ++report.not_traded;
      return;
    }
    if (price.low > 0.0 && price.high > 0.0 &&
        !(price.low <= price.mean && price.mean <= price.high)) {
      return Bad(line, "The mean lies outside the row's own low and high.", row);
    }
    const ItemText item = SplitItem(price.description);
    price.item = item.item;
    price.fat_limit = item.fat_limit;
    const std::string key =
        fmt::format("{}\n{}\n{}", units::DayText(day), section, price.description);
    const auto [it, fresh] = places.emplace(key, report.prices.size());
    if (fresh) {
      report.prices.push_back(std::move(price));
    } else {
      Merge(report.prices[it->second], price);
    }
  }

  static void Merge(MarketPrice& into, const MarketPrice& other) {
    const double pounds = into.pounds + other.pounds;
    if (pounds > 0.0) {
      into.mean = (into.mean * into.pounds + other.mean * other.pounds) / pounds;
    }
    into.low = std::min(into.low, other.low);
    into.high = std::max(into.high, other.high);
    into.pounds = pounds;
    into.trades += other.trades;
  }
};

Row RowOf(const nlohmann::json& object) {
  Row row;
  for (const auto& [key, value] : object.items()) {
    if (value.is_string()) row[key] = value.get<std::string>();
    if (value.is_number()) row[key] = value.dump();
  }
  return row;
}

Status TakeJson(const nlohmann::json& json, const std::string& name, Reader& reader) {
  const nlohmann::json list = json.is_array() ? json : nlohmann::json::array({json});
  bool any = false;
  for (const nlohmann::json& part : list) {
    if (!part.is_object() || !part.contains("results") || !part["results"].is_array()) continue;
    any = true;
    std::string section;
    if (part.contains("reportSection") && part["reportSection"].is_string()) {
      section = part["reportSection"].get<std::string>();
    }
    std::size_t line = 0;
    for (const nlohmann::json& one : part["results"]) {
      ++line;
      if (one.is_object()) {
        reader.Take(line, section, RowOf(one));
      } else {
        reader.Bad(line, "The row is not an object.", {});
      }
    }
  }
  if (any) return {};
  return Fail(Code::kDataUnusable, "The file holds no report section with results.", name,
              "Save the data service's answer as it came.");
}

}  // namespace

double MarketPrice::PerKg() const { return mean / (100.0 * units::kGramsPerPound / 1000.0); }

ItemText SplitItem(std::string_view description) {
  ItemText item;
  const std::size_t open = description.rfind('(');
  const std::size_t close = description.rfind(')');
  std::string_view inside;
  std::string_view before = description;
  if (open != std::string_view::npos && close != std::string_view::npos && close > open) {
    inside = description.substr(open + 1, close - open - 1);
    // A number or a fat limit holds a digit; "(IM)", individual muscle, does not.
    if (inside.find_first_of("0123456789") != std::string_view::npos) {
      before = description.substr(0, open);
    } else {
      inside = {};
    }
  }
  while (!before.empty() && before.back() == ' ') before.remove_suffix(1);
  item.name = std::string(before);
  std::vector<std::string> words;
  std::string word;
  for (const char c : inside) {
    if (c != ' ') {
      word += c;
    } else if (!word.empty()) {
      words.push_back(std::move(word));
      word.clear();
    }
  }
  if (!word.empty()) words.push_back(std::move(word));
  if (words.size() >= 2) {
    item.item = words[0];
    item.fat_limit = words.back();
  } else if (words.size() == 1) {
    // One digit alone is a fat limit (1 to 6); items have three or more.
    (words[0].size() == 1 ? item.fat_limit : item.item) = words[0];
  }
  return item;
}

double SimpleAverage(const std::vector<double>& values) {
  RIBWRIGHT_CHECK(!values.empty());
  double sum = 0.0;
  for (const double value : values) sum += value;
  return sum / static_cast<double>(values.size());
}

Result<MarketReport> ReadMarketReport(std::string_view text, const std::string& name) {
  Reader reader;
  const std::size_t first = text.find_first_not_of(" \t\r\n\xEF\xBB\xBF");
  if (first != std::string_view::npos && (text[first] == '{' || text[first] == '[')) {
    const auto json = nlohmann::json::parse(text.substr(first), nullptr, false);
    if (json.is_discarded()) {
      return Fail(Code::kDataUnusable, "The file is not JSON to its end.", name,
                  "Download it again.");
    }
    if (const Status fine = TakeJson(json, name, reader); !fine) return Fail(fine.error());
    return std::move(reader.report);
  }
  const auto table = ReadLoose(text, name);
  if (!table) return Fail(table.error());
  if (!table->Column("report_date")) {
    return Fail(Code::kDataUnusable, "The file has no column report_date.", name,
                "Save the data service's answer as it came.");
  }
  reader.report.bad = table->bad;
  for (const LooseRow& line : table->rows) {
    Row row;
    for (std::size_t i = 0; i < table->header.size(); ++i) {
      if (!line.cells[i].empty()) row[table->header[i]] = line.cells[i];
    }
    reader.Take(line.line, Field(row, "reportSection"), row);
  }
  return std::move(reader.report);
}

}  // namespace ribwright::costing
