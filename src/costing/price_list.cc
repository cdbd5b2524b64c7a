// SPDX-License-Identifier: Apache-2.0
#include "costing/price_list.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>

#include "costing/amount.h"
#include "costing/json_in.h"

namespace ribwright::costing {
namespace {

std::string Lower(std::string_view text) {
  std::string lower(text);
  for (char& c : lower) {
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
  }
  return lower;
}

// Words of headings (common practice of price lists), most telling first.
const std::vector<std::pair<std::string, std::vector<std::string>>>& HeadingWords() {
  static const std::vector<std::pair<std::string, std::vector<std::string>>> words = {
      {"supplier", {"supplier"}},
      {"item", {"imps", "item no", "item", "code", "article", "sku"}},
      {"name", {"description", "name", "product", "cut"}},
      {"price", {"price", "cost"}},
      {"per", {"per", "unit", "uom"}},
      {"currency", {"currency"}},
      {"bone", {"bone"}},
      {"grade", {"grade", "quality"}},
      {"breed", {"breed"}},
      {"feed", {"feed", "diet"}},
      {"aged_days", {"aged", "ageing", "aging"}},
      {"fat_limit_mm", {"fat"}},
      {"piece_low", {"from kg", "min weight", "weight from", "low"}},
      {"piece_high", {"to kg", "max weight", "weight to", "high"}},
      {"freight", {"freight", "delivery cost"}},
      {"minimum", {"minimum", "moq", "min order"}},
      {"valid_from", {"valid from", "from date"}},
      {"valid_to", {"valid to", "valid until", "to date", "expires"}}};
  return words;
}

// A line's fault, thrown out of the field readers by value: a line ends at its first one.
struct LineReader {
  const LooseTable& table;
  const PriceMapping& mapping;
  std::map<std::string, std::size_t> at;
  const LooseRow* row = nullptr;
  std::string fault;

  std::string Text(const std::string& field) const {
    const auto it = at.find(field);
    return it == at.end() ? std::string() : row->cells[it->second];
  }
  void Fault(std::string reason) {
    if (fault.empty()) fault = std::move(reason);
  }
  std::optional<double> Number(const std::string& field, double most) {
    const std::string text = Text(field);
    if (text.empty()) return std::nullopt;
    const auto number = LooseNumber(text, mapping.decimal);
    if (!number) {
      Fault(fmt::format("{}: \"{}\" is not a number.", field, text.substr(0, 40)));
    } else if (*number < 0.0 || *number > most) {
      Fault(fmt::format("{}: {} is out of range.", field, text.substr(0, 40)));
    }
    return number;
  }
  std::optional<units::Day> Day(const std::string& field) {
    const std::string text = Text(field);
    if (text.empty()) return std::nullopt;
    const auto day = LooseDay(text, mapping.day_order);
    if (!day) Fault(fmt::format("{}: \"{}\" is not a day.", field, text.substr(0, 40)));
    return day;
  }
  Per Unit() {
    const std::string text = Lower(Text("per"));
    if (text.empty()) return mapping.per;
    for (const char* kg : {"kg", "kilo", "/kg", "per kg", "eur/kg"}) {
      if (text == kg) return Per::kKg;
    }
    for (const char* lb : {"lb", "lbs", "pound", "/lb", "per lb", "usd/lb"}) {
      if (text == lb) return Per::kLb;
    }
    Fault(fmt::format("per: \"{}\" is neither kg nor lb.", text.substr(0, 40)));
    return mapping.per;
  }
};

Offer ReadOffer(LineReader& in) {
  Offer offer;
  offer.supplier = in.Text("supplier");
  if (offer.supplier.empty()) offer.supplier = in.mapping.supplier;
  offer.item = in.Text("item");
  offer.name = in.Text("name");
  if (offer.item.empty() && offer.name.empty()) in.Fault("There is neither item nor name.");
  const auto price = in.Number("price", 1e6);
  if (!price) in.Fault("There is no price.");
  if (price && *price == 0.0) in.Fault("price: 0 is no price.");
  offer.amount = price.value_or(0.0);
  offer.per = in.Unit();
  offer.currency = in.mapping.currency;
  if (const std::string text = in.Text("currency"); !text.empty()) {
    const auto currency = units::Currency::FromText(text);
    if (!currency) in.Fault(fmt::format("currency: \"{}\" is none.", text.substr(0, 40)));
    offer.currency = currency.value_or(offer.currency);
  }
  const std::string bone = Lower(in.Text("bone"));
  if (bone == "in" || bone == "bone-in" || bone == "bone in" || bone == "yes") offer.bone = "in";
  if (bone == "out" || bone == "boneless" || bone == "no") offer.bone = "out";
  if (!bone.empty() && offer.bone.empty()) {
    in.Fault(fmt::format("bone: \"{}\" is neither in nor out.", bone.substr(0, 40)));
  }
  offer.grade = in.Text("grade");
  offer.breed = in.Text("breed");
  offer.feed = in.Text("feed");
  if (const auto days = in.Number("aged_days", 400.0)) {
    if (*days != std::floor(*days)) in.Fault("aged_days: not a whole number.");
    offer.aged_days = static_cast<int>(*days);
  }
  offer.fat_limit_mm = in.Number("fat_limit_mm", 200.0);
  const double kg = offer.per == Per::kLb ? kKgPerPound : 1.0;
  const auto in_kg = [&](const char* field) -> std::optional<double> {
    const auto number = in.Number(field, 1e6);
    if (!number) return std::nullopt;
    return *number * kg;
  };
  offer.piece_low_kg = in_kg("piece_low");
  offer.piece_high_kg = in_kg("piece_high");
  if (offer.piece_low_kg && offer.piece_high_kg && *offer.piece_low_kg > *offer.piece_high_kg) {
    in.Fault("The piece's weight range ends below its beginning.");
  }
  offer.freight_per_kg = in.Number("freight", 1e6).value_or(0.0) / kg;
  offer.minimum_kg = in_kg("minimum");
  offer.valid_from = in.Day("valid_from");
  offer.valid_to = in.Day("valid_to");
  if (offer.valid_from && offer.valid_to && *offer.valid_to < *offer.valid_from) {
    in.Fault("The offer ends before it begins.");
  }
  return offer;
}

std::string Quoted(const std::string& text) {
  if (text.find_first_of(",\"\n\r") == std::string::npos) return text;
  std::string quoted = "\"";
  for (const char c : text) {
    if (c == '"') quoted += '"';
    quoted += c;
  }
  return quoted + "\"";
}

}  // namespace

const std::vector<std::string>& PriceFields() {
  static const std::vector<std::string> fields = [] {
    std::vector<std::string> all;
    for (const auto& [field, words] : HeadingWords()) all.push_back(field);
    return all;
  }();
  return fields;
}

PriceMapping GuessMapping(const std::vector<std::string>& header, std::string supplier) {
  PriceMapping mapping;
  mapping.supplier = std::move(supplier);
  std::set<std::string> used;
  const auto take = [&](const std::string& field, const std::string& heading) {
    if (mapping.columns.contains(field) || used.contains(heading)) return;
    mapping.columns[field] = heading;
    used.insert(heading);
  };
  for (const std::string& heading : header) {
    for (const auto& [field, words] : HeadingWords()) {
      if (Lower(heading) == field) take(field, heading);
    }
  }
  for (const auto& [field, words] : HeadingWords()) {
    for (const std::string& word : words) {
      for (const std::string& heading : header) {
        if (Lower(heading).find(word) != std::string::npos) take(field, heading);
      }
    }
  }
  const auto price = mapping.columns.find("price");
  if (price != mapping.columns.end() && Lower(price->second).find("lb") != std::string::npos) {
    mapping.per = Per::kLb;
  }
  return mapping;
}

Result<PriceList> ReadPriceList(std::string_view text, const std::string& name,
                                const PriceMapping& mapping) {
  const auto table = ReadLoose(text, name);
  if (!table) return Fail(table.error());
  LineReader in{*table, mapping, {}, nullptr, {}};
  for (const auto& [field, heading] : mapping.columns) {
    const auto& fields = PriceFields();
    if (std::find(fields.begin(), fields.end(), field) == fields.end()) {
      return Fail(Code::kDataUnusable, fmt::format("The mapping names a field {}.", field),
                  mapping.supplier, "Take one of the fields of docs/format/trade.md.");
    }
    const auto column = table->Column(heading);
    if (!column) {
      return Fail(Code::kDataUnusable, fmt::format("The list has no column \"{}\".", heading), name,
                  "The supplier changed the list's head: map its columns again.");
    }
    in.at[field] = *column;
  }
  if (!in.at.contains("price") || (!in.at.contains("item") && !in.at.contains("name"))) {
    return Fail(Code::kDataUnusable, "Price, and item or name, are not mapped to columns.", name,
                "Map at least the price and the item.");
  }
  PriceList list;
  list.bad = table->bad;
  std::map<std::string, std::size_t> seen;
  for (const LooseRow& row : table->rows) {
    in.row = &row;
    in.fault.clear();
    Offer offer = ReadOffer(in);
    const auto number = [](std::optional<double> x) { return x ? fmt::format("{}", *x) : ""; };
    std::string key;
    for (const std::string& part :
         {offer.supplier, offer.item, offer.name, offer.bone, offer.grade, offer.breed, offer.feed,
          std::to_string(offer.aged_days.value_or(-1)), number(offer.piece_low_kg),
          number(offer.piece_high_kg),
          offer.valid_from ? units::DayText(*offer.valid_from) : std::string()}) {
      key += part + "\n";
    }
    if (in.fault.empty()) {
      const auto [it, fresh] = seen.emplace(key, row.line);
      if (!fresh) in.Fault(fmt::format("The same offer stands on line {}.", it->second));
    }
    if (!in.fault.empty()) {
      std::string shown;
      for (const std::string& cell : row.cells) shown += cell + " | ";
      std::size_t cut = std::min<std::size_t>(shown.size(), 120);
      while (cut > 0 && cut < shown.size() && (shown[cut] & '\xC0') == '\x80') --cut;
      list.bad.push_back({row.line, in.fault, shown.substr(0, cut)});
      continue;
    }
    list.offers.push_back(std::move(offer));
    list.lines.push_back(row.line);
  }
  std::stable_sort(list.bad.begin(), list.bad.end(),
                   [](const BadLine& a, const BadLine& b) { return a.line < b.line; });
  return list;
}

std::string OffersCsv(const std::vector<Offer>& offers) {
  std::string text =
      "supplier,item,name,price,per,currency,bone,grade,breed,feed,aged_days,fat_limit_mm,"
      "piece_low,piece_high,freight,minimum,valid_from,valid_to\n";
  const auto number = [](std::optional<double> x) { return x ? fmt::format("{}", *x) : ""; };
  const auto day = [](std::optional<units::Day> d) { return d ? units::DayText(*d) : ""; };
  for (const Offer& o : offers) {
    // Ranges, freight and minimum stand in the price's own unit, as they are read.
    const double kg = o.per == Per::kLb ? kKgPerPound : 1.0;
    const auto per = [&](std::optional<double> x) {
      return x ? fmt::format("{:.10g}", *x / kg) : "";
    };
    text += fmt::format("{},{},{},{},{},{},{},{},{},{},{},{},{},{},{:.10g},{},{},{}\n",
                        Quoted(o.supplier), Quoted(o.item), Quoted(o.name), o.amount,
                        o.per == Per::kKg ? "kg" : "lb", o.currency.text(), o.bone, Quoted(o.grade),
                        Quoted(o.breed), Quoted(o.feed),
                        o.aged_days ? std::to_string(*o.aged_days) : "", number(o.fat_limit_mm),
                        per(o.piece_low_kg), per(o.piece_high_kg), o.freight_per_kg * kg,
                        per(o.minimum_kg), day(o.valid_from), day(o.valid_to));
  }
  return text;
}

std::string MappingJson(const PriceMapping& mapping) {
  nlohmann::ordered_json json = {{"schema", "ribwright.price_mapping/1"},
                                 {"supplier", mapping.supplier},
                                 {"currency", std::string(mapping.currency.text())},
                                 {"per", mapping.per == Per::kKg ? "kg" : "lb"},
                                 {"decimal", std::string(1, mapping.decimal)},
                                 {"days", mapping.day_order == DayOrder::kYmd   ? "ymd"
                                          : mapping.day_order == DayOrder::kDmy ? "dmy"
                                                                                : "mdy"},
                                 {"columns", nlohmann::ordered_json::object()}};
  for (const auto& [field, heading] : mapping.columns) json["columns"][field] = heading;
  return json.dump(2, ' ', false, nlohmann::ordered_json::error_handler_t::replace) + "\n";
}

Result<PriceMapping> MappingFromJson(std::string_view text, const std::string& name) {
  const auto json = ParseObject(text, name);
  if (!json) return Fail(json.error());
  std::optional<Error> fault;
  JsonIn in(*json, "", fault);
  if (in.NeededText("schema") != "ribwright.price_mapping/1") {
    in.Refuse("This is not a mapping.", "schema", R"(Write "ribwright.price_mapping/1".)");
  }
  PriceMapping mapping;
  mapping.supplier = in.NeededText("supplier");
  mapping.currency = in.Currency("currency");
  const std::string per = in.Text("per", "kg");
  if (per != "kg" && per != "lb") in.Refuse("Neither kg nor lb.", "per", "Write kg or lb.");
  mapping.per = per == "lb" ? Per::kLb : Per::kKg;
  const std::string decimal = in.Text("decimal", ".");
  if (decimal != "." && decimal != ",") {
    in.Refuse("Neither point nor comma.", "decimal", R"(Write "." or ",".)");
  }
  mapping.decimal = decimal == "," ? ',' : '.';
  const std::string days = in.Text("days", "ymd");
  if (days != "ymd" && days != "dmy" && days != "mdy") {
    in.Refuse("The order of days is not known.", "days", "Write ymd, dmy or mdy.");
  }
  mapping.day_order = days == "dmy"   ? DayOrder::kDmy
                      : days == "mdy" ? DayOrder::kMdy
                                      : DayOrder::kYmd;
  in.Object("columns", [&](JsonIn& columns) {
    for (const std::string& field : PriceFields()) {
      if (columns.Has(field)) mapping.columns[field] = columns.NeededText(field);
    }
  });
  in.Finish();
  if (fault) {
    fault->where = name + ": " + fault->where;
    return Fail(*fault);
  }
  return mapping;
}

}  // namespace ribwright::costing
