// SPDX-License-Identifier: Apache-2.0
// The house spec: the buyer's own limits, and whether a face meets them.
//
// Read from a CSV file of four columns, quantity,at_least,at_most,unit (docs/format/house_spec.md);
// one of the two limits may be empty. Errors: kHouseSpecUnusable. A line is met where the measured
// distribution lies inside the limits with odds of at least 0.9, missed at 0.1 or under, else
// undecided (assumed thresholds; the odds are shown). A quantity that the photo does not give is
// undecided without odds, with the reason.
//
// Without a file nothing is judged: limits are the house's to set. docs/format/house_spec.md names
// a rule of thumb for the cap.
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/result.h"
#include "report/photo_report.h"

namespace ribwright::grade {

struct SpecLimit {
  std::string quantity;  // as in the file, e.g. "eye_marbling"
  std::optional<double> at_least;
  std::optional<double> at_most;
  std::string unit;     // as given
  double factor = 1.0;  // base unit = factor * given unit
};
struct HouseSpec {
  std::string source;
  std::vector<SpecLimit> limits;
};

Result<HouseSpec> ReadHouseSpec(const std::filesystem::path& path);
Result<HouseSpec> ParseHouseSpec(std::string_view text, std::string name);

inline constexpr double kMetFrom = 0.9;
inline constexpr double kMissedTo = 0.1;

report::SpecLine Check(const SpecLimit& limit, const report::Face& face);
// Lines in the spec's order; none where `spec` is null.
std::vector<report::SpecLine> CheckSpec(const HouseSpec* spec, const report::Face& face);

}  // namespace ribwright::grade
