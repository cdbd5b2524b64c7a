// SPDX-License-Identifier: Apache-2.0
#include "grade/rib_position.h"

#include <fmt/format.h>

#include <cmath>
#include <utility>
#include <vector>

#include "base/check.h"
#include "grade/doubt.h"
#include "grade/outline_shape.h"

namespace ribwright::grade {
namespace {

// Bones 6 .. 12, loin; all assumed. None is 0 or 1: a muscle may be missed or misnamed in a photo.
using Row = std::array<double, kPlaces>;
constexpr Row kPrior = {1, 1, 1, 1, 1, 1, 1, 2};
constexpr Row kComplexusSeen = {0.90, 0.75, 0.35, 0.12, 0.05, 0.03, 0.03, 0.03};
constexpr Row kRhomboideusSeen = {0.50, 0.30, 0.06, 0.03, 0.02, 0.02, 0.02, 0.02};
constexpr Row kSpinalisSeen = {0.97, 0.97, 0.95, 0.85, 0.65, 0.40, 0.20, 0.06};
constexpr Row kCapShare = {0.50, 0.45, 0.38, 0.30, 0.20, 0.12, 0.08, 0.06};
constexpr double kCapShareLogSd = 0.5;
constexpr Row kAxisRatio = {0.70, 0.68, 0.65, 0.62, 0.59, 0.56, 0.53, 0.48};
constexpr double kAxisRatioSd = 0.10;

double NormalWeight(double x, double mean, double sd) {
  const double z = (x - mean) / sd;
  return std::exp(-0.5 * z * z) + 1e-6;  // a wrong outline must not rule a bone out
}

const report::Muscle* Find(const report::Face& face, report::MuscleName name) {
  for (const report::Muscle& muscle : face.muscles) {
    if (muscle.name == name) return &muscle;
  }
  return nullptr;
}

// Areas in pixels where outlines are drawn, else in cm2; nothing where neither is known for both.
std::optional<double> AreaShare(const report::Muscle& part, const report::Muscle& whole) {
  const double part_px = OutlineArea(part.outline_px);
  const double whole_px = OutlineArea(whole.outline_px);
  if (part_px > 0.0 && whole_px > 0.0) return part_px / whole_px;
  if (part.area.Known() && whole.area.Known() && *part.area.value > 0.0 &&
      *whole.area.value > 0.0) {
    return *part.area.value / *whole.area.value;
  }
  return std::nullopt;
}

}  // namespace

Result<RibNumbering> RibNumberingFromText(std::string_view text) {
  if (text == "bones") return RibNumbering::kBones;
  if (text == "from-chuck") return RibNumbering::kFromChuckEnd;
  if (text == "from-loin") return RibNumbering::kFromLoinEnd;
  return Fail(Code::kBadOption, "The rib numbering \"" + std::string(text) + "\" is not known.",
              "--rib-numbering", "Give bones, from-chuck or from-loin.");
}

std::string PlaceText(int place, RibNumbering numbering) {
  RIBWRIGHT_CHECK(place >= 0 && place < kPlaces);
  if (place == kPlaces - 1) return "loin";
  switch (numbering) {
    case RibNumbering::kFromChuckEnd:
      return std::to_string(place + 1);
    case RibNumbering::kFromLoinEnd:
      return std::to_string(kPlaces - 1 - place);
    case RibNumbering::kBones:
      break;
  }
  return std::to_string(kFirstRib + place);
}

std::optional<RibEvidence> EvidenceOf(const report::Face& face) {
  using enum report::MuscleName;
  const report::Muscle* eye = Find(face, kLongissimus);
  if (eye == nullptr || Find(face, kGluteusMedius) != nullptr) return std::nullopt;
  RibEvidence evidence;
  evidence.complexus = Find(face, kComplexus) != nullptr;
  evidence.rhomboideus = Find(face, kRhomboideus) != nullptr;
  if (const report::Muscle* cap = Find(face, kSpinalis)) {
    evidence.spinalis = true;
    evidence.cap_share = AreaShare(*cap, *eye);
  }
  evidence.axis_ratio = AxisRatio(eye->outline_px);
  return evidence;
}

std::string WhyNoRib(const report::Face& face) {
  using enum report::MuscleName;
  if (Find(face, kGluteusMedius) != nullptr) {
    return "the gluteus medius is seen, which lies behind the ribs";
  }
  if (Find(face, kLongissimus) != nullptr) return {};
  return "no eye was found to read it from";
}

PlaceOdds PlacePrior() {
  PlaceOdds odds{};
  double total = 0.0;
  for (const double p : kPrior) total += p;
  for (std::size_t i = 0; i < odds.size(); ++i) odds[i] = kPrior[i] / total;
  return odds;
}

PlaceOdds PlaceOddsFrom(const RibEvidence& evidence) {
  PlaceOdds odds = PlacePrior();
  double total = 0.0;
  for (std::size_t i = 0; i < odds.size(); ++i) {
    odds[i] *= evidence.complexus ? kComplexusSeen[i] : 1.0 - kComplexusSeen[i];
    odds[i] *= evidence.rhomboideus ? kRhomboideusSeen[i] : 1.0 - kRhomboideusSeen[i];
    odds[i] *= evidence.spinalis ? kSpinalisSeen[i] : 1.0 - kSpinalisSeen[i];
    if (evidence.cap_share && *evidence.cap_share > 0.0) {
      odds[i] *=
          NormalWeight(std::log(*evidence.cap_share), std::log(kCapShare[i]), kCapShareLogSd);
    }
    if (evidence.axis_ratio) {
      odds[i] *= NormalWeight(*evidence.axis_ratio, kAxisRatio[i], kAxisRatioSd);
    }
    total += odds[i];
  }
  for (double& p : odds) p /= total;
  return odds;
}

double ChanceBetween(const PlaceOdds& odds, int first, int last) {
  RIBWRIGHT_CHECK(first >= kFirstRib && last <= kLastRib);
  double chance = 0.0;
  for (int bone = first; bone <= last; ++bone) {
    chance += odds[static_cast<std::size_t>(bone - kFirstRib)];
  }
  return chance;
}

report::Odds RibReport(const PlaceOdds& odds, const RibEvidence& evidence, RibNumbering numbering) {
  std::vector<std::pair<std::string, double>> weights;
  int likeliest = 0;
  for (int i = 0; i < kPlaces; ++i) {
    const auto k = static_cast<std::size_t>(i);
    weights.emplace_back(PlaceText(i, numbering), odds[k]);
    if (odds[k] > odds[static_cast<std::size_t>(likeliest)]) likeliest = i;
  }
  const auto seen = [](bool yes) { return yes ? "seen" : "not seen"; };
  std::string basis = fmt::format("complexus {}, rhomboideus {}, cap {}", seen(evidence.complexus),
                                  seen(evidence.rhomboideus), seen(evidence.spinalis));
  if (evidence.cap_share) {
    basis += fmt::format(", cap {:.0f} % of the eye's area", *evidence.cap_share * 100.0);
  }
  if (evidence.axis_ratio) basis += fmt::format(", eye's axis ratio {:.2f}", *evidence.axis_ratio);
  basis += "; likelihoods assumed around published ribs of each muscle; ";
  if (likeliest == kPlaces - 1) {
    basis += "loin: behind bone 12";
  } else {
    basis += fmt::format("bone {} is number {} from the chuck end, {} from the loin end",
                         kFirstRib + likeliest, PlaceText(likeliest, RibNumbering::kFromChuckEnd),
                         PlaceText(likeliest, RibNumbering::kFromLoinEnd));
  }
  return OddsFromWeights(weights, basis);
}

}  // namespace ribwright::grade
