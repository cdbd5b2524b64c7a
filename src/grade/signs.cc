// SPDX-License-Identifier: Apache-2.0
#include "grade/signs.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <string>
#include <utility>

#include "grade/doubt.h"

namespace ribwright::grade {
namespace {

constexpr double kCalibratedSd = 3.0;
constexpr double kUncalibratedSd = 12.0;
constexpr double kBloomSd = 3.0;
constexpr double kBloomMinL = 30.0;  // Wulf & Wise 1999, J Anim Sci 77:2418-2427; read
constexpr double kBloomMinA = 78.0;
constexpr double kPriorShare = 0.05;
constexpr double kFatSpread = 3.0;
constexpr double kMarblingSpread = 0.6;
constexpr double kLeanSpread = 3.5;
constexpr double kHueSpread = 6.0;
constexpr double kReflectance = 0.45;  // of white fat, assumed
constexpr double kPastureHunterB = 13.47;
constexpr double kConcentrateHunterB = 10.35;

struct Feature {
  double x = 0.0;
  double sd = 0.0;  // of the measurement, colour doubt included
};

double Sd(const SplitNormal& s) { return std::hypot(s.sd_below(), s.sd_above()) / std::sqrt(2.0); }

// ln of how much likelier x is in the first group.
double LogRatio(const std::optional<Feature>& feature, double first, double second, double spread) {
  if (!feature) return 0.0;
  const double variance = spread * spread + feature->sd * feature->sd;
  const double d1 = feature->x - first;
  const double d2 = feature->x - second;
  return 0.5 * (d2 * d2 - d1 * d1) / variance;
}

double Odds(double prior, double log_ratio) {
  const double posterior = 1.0 / (1.0 + std::exp(-(std::log(prior / (1.0 - prior)) + log_ratio)));
  return kPriorShare * prior + (1.0 - kPriorShare) * posterior;
}

std::optional<Feature> ColourFeature(const Measured& measured, double doubt, double bloom) {
  const auto spread = SplitNormal::From(measured);
  if (!spread) return std::nullopt;
  return Feature{spread->value(), std::hypot(std::hypot(Sd(*spread), doubt), bloom)};
}

struct Lean {
  std::optional<Feature> l;
  std::optional<Feature> a;
  std::optional<Feature> hue;  // degrees
};

Lean LeanFeatures(const report::Face& face, const SignRequest& request) {
  const double doubt = request.colour_calibrated ? kCalibratedSd : kUncalibratedSd;
  const auto bloom = [&](double needed) {
    return request.bloom_min && *request.bloom_min >= needed ? 0.0 : kBloomSd;
  };
  Lean lean;
  lean.l = ColourFeature(face.lean_colour.L, doubt, bloom(kBloomMinL));
  lean.a = ColourFeature(face.lean_colour.a, doubt, bloom(kBloomMinA));
  const auto b = ColourFeature(face.lean_colour.b, doubt, bloom(kBloomMinA));
  if (lean.a && b) {
    const double chroma = std::max(std::hypot(lean.a->x, b->x), 1.0);
    const double degrees = 180.0 / std::numbers::pi;
    lean.hue = Feature{std::atan2(b->x, lean.a->x) * degrees,
                       std::max(lean.a->sd, b->sd) / chroma * degrees};
  }
  return lean;
}

struct LeanGroup {
  double l;
  double a;
  double hue;
};
constexpr LeanGroup kUsualLean = {40.0, 25.0, 28.0};
constexpr LeanGroup kDarkLean = {34.0, 18.0, 20.0};
constexpr LeanGroup kBrownedLean = {38.0, 15.0, 45.0};
constexpr LeanGroup kDryAgedLean = {35.0, 19.0, 32.0};

double LeanRatio(const Lean& lean, const LeanGroup& group) {
  return LogRatio(lean.l, group.l, kUsualLean.l, kLeanSpread) +
         LogRatio(lean.a, group.a, kUsualLean.a, kLeanSpread) +
         LogRatio(lean.hue, group.hue, kUsualLean.hue, kHueSpread);
}

std::string LeanReason(const Lean& lean, const SignRequest& request) {
  if (!lean.l || !lean.a || !lean.hue) return "no lean colour was measured; the odds are the prior";
  std::string text = fmt::format("lean L* {:.0f}, a* {:.0f}, hue {:.0f} degrees", lean.l->x,
                                 lean.a->x, lean.hue->x);
  if (!request.colour_calibrated) text += "; colour is not calibrated, so this weighs little";
  if (!request.bloom_min) text += "; minutes since cutting unknown";
  return text;
}

}  // namespace

double LabBFromHunterB(double hunter_b, double y) {
  // Hunter b = Kb (Y/Yn - Z/Zn) / sqrt(Y/Yn), Kb = 67.2 for D65 and the 2 degree observer (memory).
  const double z = y - hunter_b * std::sqrt(y) / 67.2;
  return 200.0 * (std::cbrt(y) - std::cbrt(z));
}

std::string WhyNoSigns(const report::Face& face, const SignRequest& request) {
  for (const auto& [code, reason] :
       {std::pair{Code::kNotBeefLike, "the meat does not look like raw beef"},
        std::pair{Code::kOutOfFocus, "the face is out of focus"},
        std::pair{Code::kGlareHeavy, "glare hides a large part of the face"}}) {
    if (std::find(request.standing.begin(), request.standing.end(), code) !=
        request.standing.end()) {
      return reason;
    }
  }
  if (!request.colour_calibrated) return "colour is not calibrated";
  if (!face.lean_colour.a.Known()) return "no lean colour was measured";
  const double a = *face.lean_colour.a.value;
  if (a < kLeastLeanA || a > kMostLeanA) {
    return fmt::format(
        "lean a* {:.0f} lies outside {:.0f} to {:.0f}, where raw beef lies (assumed)", a,
        kLeastLeanA, kMostLeanA);
  }
  return {};
}

std::vector<report::Sign> JudgeSigns(const report::Face& face, const SignRequest& request) {
  using enum report::SignOf;
  const double doubt = request.colour_calibrated ? kCalibratedSd : kUncalibratedSd;
  const auto fat_b = ColourFeature(face.fat_colour.b, doubt, 0.0);
  std::optional<Feature> marbling;
  std::string feed_reason;
  if (fat_b) {
    feed_reason = fmt::format("fat b* {:.0f} (pasture near {:.0f}, concentrate near {:.0f})",
                              fat_b->x, LabBFromHunterB(kPastureHunterB, kReflectance),
                              LabBFromHunterB(kConcentrateHunterB, kReflectance));
    if (!request.colour_calibrated) feed_reason += ", not calibrated, so it weighs little";
  } else {
    feed_reason = "no fat colour was measured";
  }
  if (const auto share = SplitNormal::From(request.eye_marbling_pct, 0.0, 100.0)) {
    marbling = Feature{std::log1p(share->value()), Sd(*share) / (share->value() + 1.0)};
    feed_reason += fmt::format("; {:.0f} % of the eye is visible fat", share->value());
  }
  const double grass =
      Odds(0.35, LogRatio(fat_b, LabBFromHunterB(kPastureHunterB, kReflectance),
                          LabBFromHunterB(kConcentrateHunterB, kReflectance), kFatSpread) +
                     LogRatio(marbling, std::log(5.0), std::log(8.0), kMarblingSpread));

  const Lean lean = LeanFeatures(face, request);
  const std::string reason = LeanReason(lean, request);
  const double dark = Odds(0.03, LeanRatio(lean, kDarkLean));
  const double browned = Odds(0.10, LeanRatio(lean, kBrownedLean));
  const double dry_aged = Odds(0.10, LeanRatio(lean, kDryAgedLean));
  return {
      {kGrainFed, 1.0 - grass, feed_reason},
      {kGrassFed, grass, feed_reason},
      {kDryAged, dry_aged, reason + "; a dried crust is not measured"},
      {kFresh, (1.0 - browned) * (1.0 - dry_aged), reason + "; neither browned nor dry-aged"},
      {kDarkCutting, dark, reason + "; dark cutting is decided by pH, which a photo does not show"},
      {kBrowned, browned, reason},
  };
}

}  // namespace ribwright::grade
