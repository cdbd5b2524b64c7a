// SPDX-License-Identifier: Apache-2.0
// Carcass data that a photo of a face cannot show, as the slaughterhouse or the user states them.
//
// Read from a CSV file of three columns, quantity,value,unit (docs/format/carcass.md lists the
// quantities). Strict: an unknown quantity or unit, a quantity given twice, a value out of its
// range, or a file without rows is refused with file, line and how to mend it. Code of all errors:
// kCarcassUnusable (also for a file that is missing or no CSV).
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <string_view>

#include "base/result.h"

namespace ribwright::grade {

struct Carcass {
  std::string source;  // the file's name, for bases
  std::optional<double> hot_carcass_weight_kg;
  std::optional<double> kidney_pelvic_heart_fat_pct;
  std::optional<double> fat_depth_mm;     // over the ribeye, 3/4 of its length, adjusted
  std::optional<double> ribeye_area_cm2;  // 12th-13th rib
  std::optional<double> left_cold_side_kg;
  std::optional<double> longissimus_area_cm2;  // 6th-7th rib
  std::optional<double> rib_thickness_mm;      // 6th-7th rib
  std::optional<double> subcutaneous_fat_mm;   // 6th-7th rib
  std::optional<bool> beef_breed;
  std::optional<double> lean_colour_number;  // Japanese BCS 1-7
  std::optional<double> fat_colour_number;   // Japanese BFS 1-7
  std::optional<double> firmness_grade;      // Japanese item grade 1-5
  std::optional<double> age_months;
  std::optional<double> permanent_incisors;
  std::optional<double> skeletal_maturity_units;  // A00 = 0 ... E99 = 499
  std::optional<double> lean_maturity_units;
};

Result<Carcass> ReadCarcass(const std::filesystem::path& path);
Result<Carcass> ParseCarcass(std::string_view text, std::string name);

}  // namespace ribwright::grade
