// SPDX-License-Identifier: Apache-2.0
#include "grade/carcass.h"

#include <fmt/format.h>

#include <array>
#include <set>
#include <utility>

#include "grade/quantities_file.h"

namespace ribwright::grade {
namespace {

struct Quantity {
  std::string_view name;
  std::optional<double> Carcass::*member;
  std::span<const UnitFactor> (*units)();
  double lowest;  // in base units; what a beef carcass can have, generously
  double highest;
  bool whole = false;
};

constexpr std::array kQuantities = {
    Quantity{"hot_carcass_weight", &Carcass::hot_carcass_weight_kg, MassUnits, 50, 1000},
    Quantity{"kidney_pelvic_heart_fat", &Carcass::kidney_pelvic_heart_fat_pct, PercentUnits, 0, 15},
    Quantity{"fat_depth", &Carcass::fat_depth_mm, LengthUnits, 0, 80},
    Quantity{"ribeye_area", &Carcass::ribeye_area_cm2, AreaUnits, 20, 250},
    Quantity{"left_cold_side", &Carcass::left_cold_side_kg, MassUnits, 25, 500},
    Quantity{"longissimus_area_6th_rib", &Carcass::longissimus_area_cm2, AreaUnits, 20, 250},
    Quantity{"rib_thickness_6th_rib", &Carcass::rib_thickness_mm, LengthUnits, 20, 150},
    Quantity{"subcutaneous_fat_6th_rib", &Carcass::subcutaneous_fat_mm, LengthUnits, 0, 120},
    Quantity{"lean_colour_number", &Carcass::lean_colour_number, PlainUnits, 1, 7, true},
    Quantity{"fat_colour_number", &Carcass::fat_colour_number, PlainUnits, 1, 7, true},
    Quantity{"firmness_grade", &Carcass::firmness_grade, PlainUnits, 1, 5, true},
    Quantity{"age", &Carcass::age_months, MonthUnits, 9, 360},
    Quantity{"permanent_incisors", &Carcass::permanent_incisors, PlainUnits, 0, 8, true},
    Quantity{"skeletal_maturity", &Carcass::skeletal_maturity_units, PlainUnits, 0, 499},
    Quantity{"lean_maturity", &Carcass::lean_maturity_units, PlainUnits, 0, 499},
};

tl::unexpected<Error> Unusable(std::string message, std::string where, std::string mend) {
  return Fail(Code::kCarcassUnusable, std::move(message), std::move(where), std::move(mend));
}

Status SetBreed(Carcass& carcass, const std::string& value, const std::string& unit,
                const std::string& where) {
  if ((value != "yes" && value != "no") || unit != "1") {
    return Unusable("beef_breed is neither yes nor no.", where,
                    "Write beef_breed,yes,1 or beef_breed,no,1.");
  }
  carcass.beef_breed = value == "yes";
  return {};
}

Status SetNumber(Carcass& carcass, const Quantity& quantity, const CsvTable& table, std::size_t row,
                 std::size_t value_column, std::size_t unit_column) {
  const auto value = table.Number(row, value_column);
  if (!value) return Fail(Recoded(value.error(), Code::kCarcassUnusable));
  const auto factor = FactorOf(quantity.units(), table.Cell(row, unit_column));
  if (!factor) {
    return Unusable(fmt::format("The unit \"{}\" does not fit {}.", table.Cell(row, unit_column),
                                quantity.name),
                    table.Where(row, unit_column),
                    "Use one of: " + UnitsText(quantity.units()) + ".");
  }
  const double base = *value * *factor;
  const bool whole_wanted = quantity.whole && base != static_cast<double>(static_cast<int>(base));
  if (base < quantity.lowest || base > quantity.highest || whole_wanted) {
    return Unusable(
        fmt::format("{} {} is not a possible {}.", *value, table.Cell(row, unit_column),
                    quantity.name),
        table.Where(row, value_column),
        fmt::format("Give {} from {:g} to {:g} {}.", quantity.whole ? "a whole number" : "a value",
                    quantity.lowest, quantity.highest, quantity.units().front().unit));
  }
  carcass.*(quantity.member) = base;
  return {};
}

Result<Carcass> FromTable(const CsvTable& table) {
  const auto name_column = table.RequiredColumn("quantity");
  const auto value_column = table.RequiredColumn("value");
  const auto unit_column = table.RequiredColumn("unit");
  for (const auto* column : {&name_column, &value_column, &unit_column}) {
    if (!*column) return Fail(Recoded(column->error(), Code::kCarcassUnusable));
  }
  if (table.header().size() != 3) {
    return Unusable("The file has more than three columns.", table.name(),
                    "Keep the columns quantity,value,unit.");
  }
  if (table.rows() == 0) {
    return Unusable("The file states no quantity.", table.name(), "Add a row, or leave it out.");
  }
  Carcass carcass;
  carcass.source = table.name();
  std::set<std::string> seen;
  for (std::size_t row = 0; row < table.rows(); ++row) {
    const std::string& name = table.Cell(row, *name_column);
    if (!seen.insert(name).second) {
      return Unusable("The quantity " + name + " stands twice.", table.Where(row, *name_column),
                      "Keep one row of it.");
    }
    if (name == "beef_breed") {
      const auto set = SetBreed(carcass, table.Cell(row, *value_column),
                                table.Cell(row, *unit_column), table.Where(row, *value_column));
      if (!set) return Fail(set.error());
      continue;
    }
    const Quantity* found = nullptr;
    for (const Quantity& quantity : kQuantities) {
      if (quantity.name == name) found = &quantity;
    }
    if (found == nullptr) {
      std::string names = "beef_breed";
      for (const Quantity& quantity : kQuantities) names += ", " + std::string(quantity.name);
      return Unusable("The quantity \"" + name + "\" is not known.", table.Where(row, *name_column),
                      "Use one of: " + names + ".");
    }
    const auto set = SetNumber(carcass, *found, table, row, *value_column, *unit_column);
    if (!set) return Fail(set.error());
  }
  return carcass;
}

}  // namespace

Result<Carcass> ReadCarcass(const std::filesystem::path& path) {
  const auto table = ReadQuantities(path, Code::kCarcassUnusable);
  if (!table) return Fail(table.error());
  return FromTable(*table);
}

Result<Carcass> ParseCarcass(std::string_view text, std::string name) {
  const auto table = ParseQuantities(text, std::move(name), Code::kCarcassUnusable);
  if (!table) return Fail(table.error());
  return FromTable(*table);
}

}  // namespace ribwright::grade
