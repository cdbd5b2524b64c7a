// SPDX-License-Identifier: Apache-2.0
// The numbers of a face that have a truth on phantoms, each by its name.
#pragma once

#include <optional>
#include <span>
#include <string_view>

#include "report/photo_report.h"

namespace ribwright::bench {

// The muscle a cut is judged by: the longissimus, on sirloin the gluteus medius.
const report::Muscle* FindMuscle(const report::Face& face, report::MuscleName name);

struct FaceOf {
  const report::PhotoReport* report = nullptr;
  const report::Face* face = nullptr;
  report::MuscleName eye = report::MuscleName::kLongissimus;
};

struct Quantity {
  std::string_view name;  // "eye marbling"
  std::string_view unit;
  // Nothing where the report holds no such part (no cap); a Measured without value where it is not
  // known.
  std::optional<Measured> (*read)(const FaceOf& from);
  bool wants_thickness = false;  // judged without it, only its coverage counts
  bool wants_patch_values = false;
};
std::span<const Quantity> Quantities();
// The index of the quantity named so; it must exist.
std::size_t QuantityIndex(std::string_view name);

}  // namespace ribwright::bench
