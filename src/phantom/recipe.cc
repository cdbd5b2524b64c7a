// SPDX-License-Identifier: Apache-2.0
#include "phantom/recipe.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "math/rng.h"

namespace ribwright::phantom {
namespace {

using math::Rng;

// Tags of independent streams, so that adding a draw to one part leaves the others as they were.
enum Stream : std::uint64_t { kCutStream = 1, kMeat, kCamera, kLight, kScene, kFat };

struct Reach {  // what a difficulty may draw
  double px_low, px_high, tilt, blur_low, blur_high, glare, falloff, lines;
  int jpeg_low, jpeg_high;
};

Reach ReachOf(Difficulty difficulty) {
  switch (difficulty) {
    case Difficulty::kEasy:
      return {9.0, 20.0, 10.0, 0.6, 0.9, 0.015, 1.2, 0.4, 85, 95};
    case Difficulty::kMixed:
      return {6.0, 20.0, 45.0, 0.6, 2.0, 0.12, 2.0, 0.7, 60, 95};
    case Difficulty::kHard:
      return {4.0, 14.0, 50.0, 1.0, 2.8, 0.25, 3.0, 0.85, 40, 85};
  }
  return {};
}

double DrawMarbling(Rng& rng) {
  // Shares of faces and ranges in percent, as the bench asks.
  struct Band {
    double share, low, high;
  };
  constexpr std::array<Band, 5> kBands{
      {{0.20, 0.3, 4}, {0.30, 4, 10}, {0.25, 10, 20}, {0.15, 20, 35}, {0.10, 35, 55}}};
  double u = rng.Uniform();
  for (const Band& band : kBands) {
    if (u < band.share) return (band.low + (band.high - band.low) * u / band.share) / 100.0;
    u -= band.share;
  }
  return kBands.back().high / 100.0;
}

PaintLab DrawLean(Rng& rng) {
  // Four looks: bloomed cherry, purple fresh cut, pale, browned; within L* 28-48, a* 12-32, b*
  // 4-20.
  constexpr std::array<PaintLab, 4> kLooks{{{38, 28, 15}, {33, 20, 7}, {44, 22, 12}, {35, 15, 13}}};
  const double u = rng.Uniform();
  const PaintLab& look = kLooks[u < 0.58 ? 0 : u < 0.74 ? 1 : u < 0.92 ? 2 : 3];
  return {std::clamp(look.L + rng.Normal(0, 2.5), 28.0, 48.0),
          std::clamp(look.a + rng.Normal(0, 2.5), 12.0, 32.0),
          std::clamp(look.b + rng.Normal(0, 2.0), 4.0, 20.0)};
}

void DrawMeat(Recipe& r, const Reach& reach, Rng rng) {
  r.rib = 6 + static_cast<int>(rng.Below(7));
  const double bone = r.cut == Cut::kRib ? 0.3 : r.cut == Cut::kStrip ? 0.2 : 0.05;
  r.bone = rng.Chance(bone);
  r.thickness_mm = std::clamp(30.0 * std::exp(rng.Normal(0, 0.33)), 15.0, 60.0);
  r.cover_mm = std::clamp(6.5 * std::exp(rng.Normal(0, 0.6)), 0.8, 22.0);
  r.lean = DrawLean(rng);
  r.fat = {rng.Uniform(67, 86), rng.Uniform(0, 6),
           rng.Chance(0.25) ? rng.Uniform(14, 23) : rng.Uniform(4, 14)};
  r.fat_opacity = rng.Uniform(0.85, 1.0);
  r.soften_mm = rng.Uniform(0.1, 0.4);
  r.grain = rng.Uniform(0.03, 0.11);
  r.lean_variation = rng.Uniform(0.5, 1.6);
  const bool lines = rng.Chance(reach.lines);
  const int count = 2 + static_cast<int>(rng.Below(9));
  r.connective_lines = lines ? count : 0;
  r.relief = rng.Uniform(0.5, 1.5);
  r.wrinkles = rng.Chance(0.3) ? rng.Uniform(0.2, 0.8) : 0.0;
}

void DrawFat(Recipe& r, Rng rng) {
  r.eye_marbling = DrawMarbling(rng);
  r.cap_factor =
      1.87 * std::exp(rng.Normal(0, 0.15));  // Brackebusch et al. 1991: 16.1 / 8.61 % fat
  const double richness = std::sqrt(r.eye_marbling / 0.1);
  r.fleck_width_mm =
      std::clamp(0.42 * std::exp(rng.Normal(0, 0.4)) * std::pow(richness, 0.5), 0.15, 1.6);
  r.unevenness = rng.Uniform(0.2, 1.0);
}

void DrawCamera(Recipe& r, const Reach& reach, Rng rng) {
  r.px_per_mm = reach.px_low * std::pow(reach.px_high / reach.px_low, rng.Uniform());
  r.tilt_deg = rng.Uniform(0, reach.tilt);
  r.tilt_azimuth_deg = rng.Uniform(0, 360);
  r.roll_deg = rng.Uniform(0, 360);
  r.focal_35mm = std::round(rng.Uniform(24, 50));
  r.frame_margin = rng.Uniform(0.04, 0.25);
  r.blur_sigma_px = rng.Uniform(reach.blur_low, reach.blur_high);
  r.noise = 0.002 * std::pow(5.0, rng.Uniform());
  r.vignetting = rng.Uniform(0, 0.2);
  r.sharpen = rng.Uniform(0, 1.0);
  r.sharpen_sigma_px = rng.Uniform(0.8, 1.6);
  r.tone = rng.Uniform(0, 0.5);
  r.exposure = rng.Uniform(0.85, 1.2);
  r.red_gain = 1.0 + rng.Normal(0, 0.05);
  r.blue_gain = 1.0 + rng.Normal(0, 0.07);
  r.jpeg_quality =
      reach.jpeg_low +
      static_cast<int>(rng.Below(static_cast<std::uint32_t>(reach.jpeg_high - reach.jpeg_low + 1)));
  r.chroma_half = rng.Chance(0.75);
}

void DrawLight(Recipe& r, const Reach& reach, Rng rng) {
  r.glare_share = reach.glare * std::pow(rng.Uniform(), 1.8);
  r.sparkle = rng.Uniform();
  r.falloff = rng.Uniform(1.0, reach.falloff);
  r.falloff_azimuth_deg = rng.Uniform(0, 360);
  r.light_elevation_deg = rng.Uniform(35, 75);
  r.light_azimuth_deg = rng.Uniform(0, 360);
  r.shadow = rng.Uniform(0.25, 0.8);
  r.shadow_on_face = r.difficulty != Difficulty::kEasy && rng.Chance(0.12);
}

void DrawScene(Recipe& r, Rng rng) {
  constexpr std::array<double, 7> kShares{0.26, 0.14, 0.16, 0.14, 0.12, 0.08, 0.10};
  double u = rng.Uniform();
  int kind = 0;
  while (kind < 6 && u >= kShares[static_cast<std::size_t>(kind)])
    u -= kShares[static_cast<std::size_t>(kind++)];
  r.ground = static_cast<GroundKind>(kind);
  const double crowd = rng.Uniform();
  if (r.difficulty != Difficulty::kEasy) r.pieces = crowd < 0.86 ? 1 : crowd < 0.96 ? 2 : 3;
  r.touching = r.pieces > 1 && rng.Chance(0.4);
  r.printer_scale_x = 1.0 + rng.Uniform(-0.03, 0.03);
  r.printer_scale_y = r.printer_scale_x * (1.0 + rng.Normal(0, 0.001));
  r.printer_colour_sd = rng.Uniform(2, 7);
}

}  // namespace

std::string_view CutText(Cut cut) {
  return cut == Cut::kRib ? "rib" : cut == Cut::kStrip ? "strip" : "sirloin";
}

std::string_view DifficultyText(Difficulty difficulty) {
  return difficulty == Difficulty::kEasy    ? "easy"
         : difficulty == Difficulty::kMixed ? "mixed"
                                            : "hard";
}

std::optional<Cut> CutFromText(std::string_view text) {
  for (Cut cut : {Cut::kRib, Cut::kStrip, Cut::kSirloin}) {
    if (CutText(cut) == text) return cut;
  }
  return std::nullopt;
}

std::optional<Difficulty> DifficultyFromText(std::string_view text) {
  for (Difficulty difficulty : {Difficulty::kEasy, Difficulty::kMixed, Difficulty::kHard}) {
    if (DifficultyText(difficulty) == text) return difficulty;
  }
  return std::nullopt;
}

std::string_view AlteredText(Altered altered) {
  switch (altered) {
    case Altered::kNone:
      return "none";
    case Altered::kCooked:
      return "cooked";
    case Altered::kGround:
      return "ground";
    case Altered::kEmpty:
      return "empty";
    case Altered::kUnfocused:
      return "unfocused";
    case Altered::kFilm:
      return "film";
  }
  return "";
}

std::optional<Altered> AlteredFromText(std::string_view text) {
  for (Altered altered : {Altered::kNone, Altered::kCooked, Altered::kGround, Altered::kEmpty,
                          Altered::kUnfocused, Altered::kFilm}) {
    if (AlteredText(altered) == text) return altered;
  }
  return std::nullopt;
}

Recipe DrawRecipe(std::uint64_t seed, const RecipeOptions& options) {
  Recipe r;
  r.seed = seed;
  r.difficulty = options.difficulty;
  r.card = options.card.value_or(true);
  const Rng root(seed);
  const double u = root.Fork(kCutStream).Uniform();
  r.cut = options.cut.value_or(u < 0.60 ? Cut::kRib : u < 0.85 ? Cut::kStrip : Cut::kSirloin);
  const Reach reach = ReachOf(options.difficulty);
  DrawMeat(r, reach, root.Fork(kMeat));
  DrawFat(r, root.Fork(kFat));
  DrawCamera(r, reach, root.Fork(kCamera));
  DrawLight(r, reach, root.Fork(kLight));
  DrawScene(r, root.Fork(kScene));
  if (options.wide) Widen(r);
  Alter(r, options.altered);
  return r;
}

}  // namespace ribwright::phantom
