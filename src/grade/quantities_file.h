// SPDX-License-Identifier: Apache-2.0
// Small tables of named quantities with units, shared by the carcass file and the house spec.
#pragma once

#include <filesystem>
#include <optional>
#include <span>
#include <string_view>

#include "base/csv.h"
#include "base/result.h"

namespace ribwright::grade {

struct UnitFactor {
  std::string_view unit;
  double factor;  // base value = factor * value
};
// kg, mm, cm2, % and plain numbers are the base units.
std::span<const UnitFactor> MassUnits();
std::span<const UnitFactor> LengthUnits();
std::span<const UnitFactor> AreaUnits();
std::span<const UnitFactor> PercentUnits();
std::span<const UnitFactor> PlainUnits();  // "1"
std::span<const UnitFactor> MonthUnits();

inline constexpr double kMmPerInch = 25.4;
inline constexpr double kKgPerPound = 0.45359237;
inline constexpr double kCm2PerSquareInch = 6.4516;

std::optional<double> FactorOf(std::span<const UnitFactor> units, std::string_view unit);
// "kg, lb"
std::string UnitsText(std::span<const UnitFactor> units);

// The same error under another code, so that the user learns which file is meant.
Error Recoded(Error error, Code code);
Result<CsvTable> ReadQuantities(const std::filesystem::path& path, Code code);
Result<CsvTable> ParseQuantities(std::string_view text, std::string name, Code code);

}  // namespace ribwright::grade
