// SPDX-License-Identifier: Apache-2.0
#include <array>

#include "report/photo_report.h"

namespace ribwright::report {
namespace {

template <typename Enum>
struct Named {
  Enum value;
  std::string_view text;
};

constexpr std::array kMuscles = {
    Named<MuscleName>{MuscleName::kLongissimus, "longissimus"},
    Named<MuscleName>{MuscleName::kSpinalis, "spinalis"},
    Named<MuscleName>{MuscleName::kComplexus, "complexus"},
    Named<MuscleName>{MuscleName::kMultifidus, "multifidus"},
    Named<MuscleName>{MuscleName::kRhomboideus, "rhomboideus"},
    Named<MuscleName>{MuscleName::kGluteusMedius, "gluteus_medius"},
    Named<MuscleName>{MuscleName::kOther, "other"},
};
constexpr std::array kSigns = {
    Named<SignOf>{SignOf::kGrainFed, "grain_fed"},
    Named<SignOf>{SignOf::kGrassFed, "grass_fed"},
    Named<SignOf>{SignOf::kDryAged, "dry_aged"},
    Named<SignOf>{SignOf::kFresh, "fresh"},
    Named<SignOf>{SignOf::kDarkCutting, "dark_cutting"},
    Named<SignOf>{SignOf::kBrowned, "browned"},
};

template <typename Table, typename Enum>
std::string_view TextOf(const Table& table, Enum value) {
  for (const auto& row : table) {
    if (row.value == value) return row.text;
  }
  return "other";
}

template <typename Enum, typename Table>
std::optional<Enum> ValueOf(const Table& table, std::string_view text) {
  for (const auto& row : table) {
    if (row.text == text) return row.value;
  }
  return std::nullopt;
}

}  // namespace

std::string_view MuscleText(MuscleName name) { return TextOf(kMuscles, name); }
std::optional<MuscleName> MuscleFromText(std::string_view text) {
  return ValueOf<MuscleName>(kMuscles, text);
}
std::string_view SignText(SignOf sign) { return TextOf(kSigns, sign); }
std::optional<SignOf> SignFromText(std::string_view text) { return ValueOf<SignOf>(kSigns, text); }

std::string_view ScaleSourceText(ScaleSource source) {
  switch (source) {
    case ScaleSource::kCard:
      return "card";
    case ScaleSource::kUser:
      return "user";
    case ScaleSource::kNone:
      break;
  }
  return "none";
}

}  // namespace ribwright::report
