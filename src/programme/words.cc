// SPDX-License-Identifier: Apache-2.0
#include "programme/words.h"

#include <algorithm>
#include <array>
#include <cctype>
#include <cmath>
#include <map>
#include <regex>

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
    GradeScale{"us_sub", "thirds of the grade"},
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

std::string ScaleWords(const report::Scale& scale, units::System units) {
  if (!scale.known) {
    const std::string& why = scale.px_per_mm.reason;
    const bool more = !why.empty() && !why.starts_with("no scale");
    return "no scale: no lengths or areas" + (more ? Joined({" (", why, ")"}) : std::string());
  }
  const std::string source =
      scale.source == report::ScaleSource::kCard ? "from the card" : "as entered";
  return units::Sentence(scale.px_per_mm, units) + ", " + source;
}

std::string TextureWords(const Measured& coarseness) {
  if (!coarseness.Known()) return {};
  const auto word = [](double pct) {
    return pct < kMediumFromPct ? "fine" : pct < kCoarseFromPct ? "medium" : "coarse";
  };
  const std::string_view low = word(coarseness.low);
  const std::string_view high = word(coarseness.high);
  return low == high ? std::string(low) : Joined({low, " to ", high});
}

std::string LengthsIn(const std::string& text, units::System units) {
  static const std::regex kLength(R"((\d+(?:\.\d+)?) mm(2?)(?![\w-]))");
  std::string out;
  auto from = text.cbegin();
  for (std::sregex_iterator it(text.begin(), text.end(), kLength), end; it != end; ++it) {
    out.append(from, (*it)[0].first);
    const double number = std::stod((*it)[1]);
    const bool squared = (*it)[2].length() > 0;
    if (units == units::System::kMetric) {
      out += Joined({(*it)[1].str(), squared ? " mm\u00b2" : " mm"});
    } else if (!squared) {
      out += units::Fixed(number / units::kMmPerInch, units::kInchDecimals) + " in";
    } else {
      const double in2 = number / (units::kMmPerInch * units::kMmPerInch);
      const int decimals = std::max(0, 1 - static_cast<int>(std::floor(std::log10(in2))));
      out += units::Fixed(in2, in2 > 0.0 ? decimals : 0) + " in\u00b2";
    }
    from = (*it)[0].second;
  }
  return out.append(from, text.cend());
}

bool LacksOnlyScale(const Measured& m) { return !m.Known() && m.reason.starts_with("no scale"); }

std::string CommonReason(const report::Face& face) {
  if (face.marbling_degree.Known()) return {};
  for (const auto& [key, odds] : face.grade_odds) {
    if (odds.Known() || odds.basis != face.marbling_degree.basis) return {};
  }
  return face.marbling_degree.basis;
}

bool JapaneseRowsAlike(const report::Face& face) {
  const auto number = face.grade_odds.find("japan_bms");
  const auto grade = face.grade_odds.find("japan");
  if (number == face.grade_odds.end() || grade == face.grade_odds.end()) return false;
  if (!number->second.Known() || !grade->second.Known()) return false;
  std::map<std::string, double> difference;
  for (const auto& [step, odds] : number->second.odds) difference[step] += odds;
  for (const auto& [step, odds] : grade->second.odds) difference[step] -= odds;
  double apart = 0.0;
  for (const auto& [step, odds] : difference) apart += std::abs(odds) / 2.0;
  return apart < 0.05;
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

const report::Sign* SignNamed(const report::Face& face, SignOf of) {
  const auto found = std::find_if(face.signs.begin(), face.signs.end(),
                                  [&](const report::Sign& s) { return s.of == of; });
  return found == face.signs.end() ? nullptr : &*found;
}

const report::Muscle* EyeOf(const report::Face& face) {
  const report::Muscle* eye = MuscleOf(face, MuscleName::kLongissimus);
  return eye != nullptr ? eye : MuscleOf(face, MuscleName::kGluteusMedius);
}

std::string PercentWords(double probability) {
  if (probability < 0.005) return "<1 %";
  if (probability > 0.995) return ">99 %";
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
