// SPDX-License-Identifier: Apache-2.0
#include "programme/words.h"

#include <algorithm>
#include <array>
#include <cctype>
#include <cmath>

#include "units/format.h"

namespace ribwright::programme {
namespace {

using report::MuscleName;
using report::SignOf;

struct GradeScale {
  std::string_view key;
  std::string_view words;
};
constexpr std::array kGradeScales = {
    GradeScale{"us", "US quality grade"},
    GradeScale{"us_sub", "US quality grade, parts"},
    GradeScale{"us_yield", "US yield grade"},
    GradeScale{"japan", "Japanese quality grade"},
    GradeScale{"japan_bms", "Japanese marbling number"},
    GradeScale{"japan_yield", "Japanese yield letter"},
};

}  // namespace

std::string_view MuscleWords(MuscleName name) {
  switch (name) {
    case MuscleName::kLongissimus:
      return "eye";
    case MuscleName::kSpinalis:
      return "cap";
    case MuscleName::kComplexus:
      return "complexus";
    case MuscleName::kMultifidus:
      return "multifidus";
    case MuscleName::kRhomboideus:
      return "rhomboideus";
    case MuscleName::kGluteusMedius:
      return "gluteus medius";
    case MuscleName::kOther:
      break;
  }
  return "other muscle";
}

std::string_view MuscleLongWords(MuscleName name) {
  if (name == MuscleName::kLongissimus) return "eye (longissimus)";
  if (name == MuscleName::kSpinalis) return "cap (spinalis)";
  return MuscleWords(name);
}

std::string_view SignWords(SignOf sign) {
  switch (sign) {
    case SignOf::kGrainFed:
      return "grain-fed";
    case SignOf::kGrassFed:
      return "grass-fed";
    case SignOf::kDryAged:
      return "dry-aged";
    case SignOf::kFresh:
      return "fresh";
    case SignOf::kDarkCutting:
      return "dark-cutting";
    case SignOf::kBrowned:
      break;
  }
  return "browned";
}

std::string ScaleWords(const report::Scale& scale) {
  if (!scale.known) {
    return "not known" + (scale.px_per_mm.reason.empty() ? "" : ": " + scale.px_per_mm.reason);
  }
  const std::string source =
      scale.source == report::ScaleSource::kCard ? "from the card" : "as entered";
  return units::Sentence(scale.px_per_mm, units::System::kMetric) + ", " + source;
}

std::string GradeScaleWords(std::string_view key) {
  for (const GradeScale& scale : kGradeScales) {
    if (scale.key == key) return std::string(scale.words);
  }
  return std::string(key);
}

std::string StepWords(std::string_view step) {
  std::string_view part;
  // "0" only behind a word: marbling numbers such as "10" stay as they are.
  if (step.size() > 1 && std::isalpha(static_cast<unsigned char>(step[step.size() - 2])) != 0) {
    if (step.back() == '-') part = "low ";
    if (step.back() == '0') part = "average ";
    if (step.back() == '+') part = "high ";
  }
  if (!part.empty()) step.remove_suffix(1);
  std::string words = Joined({part, step});
  std::replace(words.begin(), words.end(), '_', ' ');
  return words;
}

const report::Muscle* MuscleOf(const report::Face& face, MuscleName name) {
  const auto found = std::find_if(face.muscles.begin(), face.muscles.end(),
                                  [&](const report::Muscle& m) { return m.name == name; });
  return found == face.muscles.end() ? nullptr : &*found;
}

const report::Muscle* EyeOf(const report::Face& face) {
  const report::Muscle* eye = MuscleOf(face, MuscleName::kLongissimus);
  return eye != nullptr ? eye : MuscleOf(face, MuscleName::kGluteusMedius);
}

std::string PercentWords(double probability) {
  if (probability > 0.0 && probability < 0.005) return "<1 %";
  if (probability < 1.0 && probability > 0.995) return ">99 %";
  return units::Fixed(100.0 * probability, 0) + " %";
}

std::string Joined(std::initializer_list<std::string_view> parts) {
  std::string out;
  for (const std::string_view part : parts) out += part;
  return out;
}

std::size_t ColumnsOf(std::string_view text) {
  return static_cast<std::size_t>(std::count_if(text.begin(), text.end(), [](char c) {
    return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U;
  }));
}

}  // namespace ribwright::programme
