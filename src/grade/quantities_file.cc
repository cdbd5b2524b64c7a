// SPDX-License-Identifier: Apache-2.0
#include "grade/quantities_file.h"

#include <array>
#include <string>
#include <utility>

namespace ribwright::grade {
namespace {

constexpr std::array kMass = {UnitFactor{"kg", 1.0}, UnitFactor{"lb", kKgPerPound}};
constexpr std::array kLength = {UnitFactor{"mm", 1.0}, UnitFactor{"cm", 10.0},
                                UnitFactor{"in", kMmPerInch}};
constexpr std::array kArea = {UnitFactor{"cm2", 1.0}, UnitFactor{"in2", kCm2PerSquareInch}};
constexpr std::array kPercent = {UnitFactor{"%", 1.0}};
constexpr std::array kPlain = {UnitFactor{"1", 1.0}};
constexpr std::array kMonths = {UnitFactor{"months", 1.0}};

}  // namespace

std::span<const UnitFactor> MassUnits() { return kMass; }
std::span<const UnitFactor> LengthUnits() { return kLength; }
std::span<const UnitFactor> AreaUnits() { return kArea; }
std::span<const UnitFactor> PercentUnits() { return kPercent; }
std::span<const UnitFactor> PlainUnits() { return kPlain; }
std::span<const UnitFactor> MonthUnits() { return kMonths; }

std::optional<double> FactorOf(std::span<const UnitFactor> units, std::string_view unit) {
  for (const UnitFactor& u : units) {
    if (u.unit == unit) return u.factor;
  }
  return std::nullopt;
}

std::string UnitsText(std::span<const UnitFactor> units) {
  std::string text;
  for (const UnitFactor& u : units) {
    if (!text.empty()) text += ", ";
    text += u.unit;
  }
  return text;
}

Error Recoded(Error error, Code code) {
  error.code = code;
  return error;
}

Result<CsvTable> ReadQuantities(const std::filesystem::path& path, Code code) {
  auto table = CsvTable::Read(path);
  if (!table) return Fail(Recoded(table.error(), code));
  return table;
}

Result<CsvTable> ParseQuantities(std::string_view text, std::string name, Code code) {
  auto table = CsvTable::Parse(text, std::move(name));
  if (!table) return Fail(Recoded(table.error(), code));
  return table;
}

}  // namespace ribwright::grade
