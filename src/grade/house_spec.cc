// SPDX-License-Identifier: Apache-2.0
#include "grade/house_spec.h"

#include <fmt/format.h>

#include <array>
#include <cmath>
#include <limits>
#include <set>
#include <utility>

#include "grade/doubt.h"
#include "grade/quantities_file.h"

namespace ribwright::grade {
namespace {

using report::Face;
using report::MuscleName;

Measured OfMuscle(const Face& face, MuscleName name, Measured report::Muscle::*member,
                  std::string_view words, std::string_view unit) {
  for (const report::Muscle& muscle : face.muscles) {
    if (muscle.name == name) return muscle.*member;
  }
  return Measured::Unknown(std::string(unit), fmt::format("no {} was found", words));
}
Measured OfEye(const Face& face, Measured report::Muscle::*member, std::string_view unit) {
  for (const report::Muscle& muscle : face.muscles) {
    if (muscle.name == MuscleName::kLongissimus) return muscle.*member;
  }
  return OfMuscle(face, MuscleName::kGluteusMedius, member, "eye", unit);
}

struct Quantity {
  std::string_view name;
  std::string_view words;
  Measured (*of)(const Face&);
  std::span<const UnitFactor> (*units)();
};

constexpr std::array kQuantities = {
    Quantity{"eye_marbling", "eye marbling",
             [](const Face& f) { return OfEye(f, &report::Muscle::marbling_pct, "%"); },
             PercentUnits},
    Quantity{"cap_marbling", "cap marbling",
             [](const Face& f) {
               return OfMuscle(f, MuscleName::kSpinalis, &report::Muscle::marbling_pct, "cap", "%");
             },
             PercentUnits},
    Quantity{"marbling", "marbling of all muscles", [](const Face& f) { return f.marbling_pct; },
             PercentUnits},
    Quantity{"fat_share", "fat share of the face", [](const Face& f) { return f.fat_share_pct; },
             PercentUnits},
    Quantity{"fat_to_lean", "fat-to-lean ratio", [](const Face& f) { return f.fat_to_lean; },
             PlainUnits},
    Quantity{"face_area", "face area", [](const Face& f) { return f.area; }, AreaUnits},
    Quantity{"lean_area", "lean area", [](const Face& f) { return f.lean_area; }, AreaUnits},
    Quantity{"eye_area", "eye area",
             [](const Face& f) { return OfEye(f, &report::Muscle::area, "cm2"); }, AreaUnits},
    Quantity{"cap_area", "cap area",
             [](const Face& f) {
               return OfMuscle(f, MuscleName::kSpinalis, &report::Muscle::area, "cap", "cm2");
             },
             AreaUnits},
    Quantity{"cover", "mean cover", [](const Face& f) { return f.cover.mean; }, LengthUnits},
    Quantity{"cover_at_three_quarters", "cover at three quarters",
             [](const Face& f) { return f.cover.at_three_quarters; }, LengthUnits},
    Quantity{"eye_coarseness", "eye coarseness",
             [](const Face& f) { return OfEye(f, &report::Muscle::coarseness, "%"); },
             PercentUnits},
    Quantity{"eye_evenness", "eye evenness",
             [](const Face& f) { return OfEye(f, &report::Muscle::evenness, "%"); }, PercentUnits},
    Quantity{"lean_L", "lean L*", [](const Face& f) { return f.lean_colour.L; }, PlainUnits},
    Quantity{"lean_a", "lean a*", [](const Face& f) { return f.lean_colour.a; }, PlainUnits},
    Quantity{"lean_b", "lean b*", [](const Face& f) { return f.lean_colour.b; }, PlainUnits},
    Quantity{"fat_L", "fat L*", [](const Face& f) { return f.fat_colour.L; }, PlainUnits},
    Quantity{"fat_b", "fat b*", [](const Face& f) { return f.fat_colour.b; }, PlainUnits},
};

const Quantity* Find(std::string_view name) {
  for (const Quantity& quantity : kQuantities) {
    if (quantity.name == name) return &quantity;
  }
  return nullptr;
}

tl::unexpected<Error> Unusable(std::string message, std::string where, std::string mend) {
  return Fail(Code::kHouseSpecUnusable, std::move(message), std::move(where), std::move(mend));
}

std::string WantedText(const SpecLimit& limit) {
  const std::string unit = limit.unit == "1" ? "" : " " + limit.unit;
  if (limit.at_least && limit.at_most) {
    return fmt::format("{:g} to {:g}{}", *limit.at_least, *limit.at_most, unit);
  }
  return limit.at_least ? fmt::format("at least {:g}{}", *limit.at_least, unit)
                        : fmt::format("at most {:g}{}", *limit.at_most, unit);
}

Result<std::optional<double>> OptionalNumber(const CsvTable& table, std::size_t row,
                                             std::size_t column) {
  if (table.Cell(row, column).empty()) return std::optional<double>();
  const auto number = table.Number(row, column);
  if (!number) return Fail(Recoded(number.error(), Code::kHouseSpecUnusable));
  return std::optional<double>(*number);
}

Result<SpecLimit> LimitFromRow(const CsvTable& table, std::size_t row,
                               const std::array<std::size_t, 4>& columns) {
  const auto& [name_column, least_column, most_column, unit_column] = columns;
  const Quantity* quantity = Find(table.Cell(row, name_column));
  if (quantity == nullptr) {
    std::string names;
    for (const Quantity& q : kQuantities)
      names += (names.empty() ? "" : ", ") + std::string(q.name);
    return Unusable("The quantity \"" + table.Cell(row, name_column) + "\" is not known.",
                    table.Where(row, name_column), "Use one of: " + names + ".");
  }
  const auto factor = FactorOf(quantity->units(), table.Cell(row, unit_column));
  if (!factor) {
    return Unusable(fmt::format("The unit \"{}\" does not fit {}.", table.Cell(row, unit_column),
                                quantity->name),
                    table.Where(row, unit_column),
                    "Use one of: " + UnitsText(quantity->units()) + ".");
  }
  const auto least = OptionalNumber(table, row, least_column);
  if (!least) return Fail(least.error());
  const auto most = OptionalNumber(table, row, most_column);
  if (!most) return Fail(most.error());
  if (!*least && !*most) {
    return Unusable("The line has no limit.", table.Where(row, least_column),
                    "Fill at_least, at_most or both.");
  }
  if (*least && *most && **least > **most) {
    return Unusable("at_least is larger than at_most.", table.Where(row, least_column),
                    "Swap or correct the limits.");
  }
  return SpecLimit{std::string(quantity->name), *least, *most, table.Cell(row, unit_column),
                   *factor};
}

Result<HouseSpec> FromTable(const CsvTable& table) {
  std::array<std::size_t, 4> columns{};
  constexpr std::array kNames = {"quantity", "at_least", "at_most", "unit"};
  for (std::size_t i = 0; i < columns.size(); ++i) {
    const auto column = table.RequiredColumn(kNames[i]);
    if (!column) return Fail(Recoded(column.error(), Code::kHouseSpecUnusable));
    columns[i] = *column;
  }
  if (table.header().size() != columns.size()) {
    return Unusable("The file has more than four columns.", table.name(),
                    "Keep the columns quantity,at_least,at_most,unit.");
  }
  if (table.rows() == 0) {
    return Unusable("The file states no limit.", table.name(), "Add a row, or leave it out.");
  }
  HouseSpec spec;
  spec.source = table.name();
  std::set<std::string> seen;
  for (std::size_t row = 0; row < table.rows(); ++row) {
    auto limit = LimitFromRow(table, row, columns);
    if (!limit) return Fail(limit.error());
    if (!seen.insert(limit->quantity).second) {
      return Unusable("The quantity " + limit->quantity + " stands twice.",
                      table.Where(row, columns[0]), "Keep one row of it.");
    }
    spec.limits.push_back(*std::move(limit));
  }
  return spec;
}

}  // namespace

Result<HouseSpec> ReadHouseSpec(const std::filesystem::path& path) {
  const auto table = ReadQuantities(path, Code::kHouseSpecUnusable);
  if (!table) return Fail(table.error());
  return FromTable(*table);
}

Result<HouseSpec> ParseHouseSpec(std::string_view text, std::string name) {
  const auto table = ParseQuantities(text, std::move(name), Code::kHouseSpecUnusable);
  if (!table) return Fail(table.error());
  return FromTable(*table);
}

report::SpecLine Check(const SpecLimit& limit, const report::Face& face) {
  const Quantity* quantity = Find(limit.quantity);
  report::SpecLine line;
  line.name = quantity == nullptr ? limit.quantity : std::string(quantity->words);
  line.wanted = WantedText(limit);
  line.outcome = "undecided";
  if (quantity == nullptr) {
    line.because = "this quantity is not measured";
    return line;
  }
  const Measured measured = quantity->of(face);
  const auto spread = SplitNormal::From(measured);
  if (!spread) {
    line.because = measured.reason.empty() ? "not measured" : measured.reason;
    return line;
  }
  const double inf = std::numeric_limits<double>::infinity();
  const double low = limit.at_least ? *limit.at_least * limit.factor : -inf;
  const double high = limit.at_most ? *limit.at_most * limit.factor : inf;
  // Both limits belong to the wanted range; only for an exact number does that matter.
  const double below = spread->Cdf(std::nextafter(low, -inf));
  const double odds = spread->Cdf(high) - (limit.at_least ? below : 0.0);
  line.odds_met = odds;
  if (odds >= kMetFrom) line.outcome = "met";
  if (odds <= kMissedTo) line.outcome = "missed";
  const double f = limit.factor;
  line.because =
      fmt::format("measured {:.3g} ({:.3g} to {:.3g}){}", *measured.value / f, measured.low / f,
                  measured.high / f, limit.unit == "1" ? "" : " " + limit.unit);
  return line;
}

std::vector<report::SpecLine> CheckSpec(const HouseSpec* spec, const report::Face& face) {
  std::vector<report::SpecLine> lines;
  if (spec == nullptr) return lines;
  for (const SpecLimit& limit : spec->limits) lines.push_back(Check(limit, face));
  return lines;
}

}  // namespace ribwright::grade
