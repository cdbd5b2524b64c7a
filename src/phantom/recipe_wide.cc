// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <cmath>

#include "math/rng.h"
#include "phantom/recipe.h"

namespace ribwright::phantom {

namespace {

// What real photos have and the recipe of the bench leaves out. A stream of its own.
void AddRealLooks(Recipe& r, math::Rng rng) {
  r.fibre = rng.Chance(0.6) ? rng.Uniform(0.03, 0.22) : 0.0;
  r.jag_mm = rng.Chance(0.5) ? rng.Uniform(0.08, 0.45) : 0.0;
  r.silverskin = rng.Chance(0.35) ? rng.Uniform(0.1, 0.7) : 0.0;
  r.fat_lines = rng.Chance(0.6) ? rng.Uniform(0.2, 1.0) : 0.0;
  r.glitter = rng.Chance(0.5) ? 2.0 * std::pow(60.0, rng.Uniform()) : 0.0;
  r.sheen = rng.Chance(0.5) ? rng.Uniform(0.1, 0.9) : 0.0;
  if (r.glitter > 0 || r.sheen > 0) r.glare_share *= 0.5;
  r.rim_mm = 0.4 * std::pow(7.0, rng.Uniform());
  r.rim_light = rng.Chance(0.45) ? rng.Uniform(0.15, 1.4) : 0.0;
  r.bark = rng.Chance(0.10) ? rng.Uniform(0.4, 1.0) : 0.0;
  r.bark_mm = rng.Uniform(0.8, 4.0);
  r.denoise = rng.Chance(0.5) ? rng.Uniform(0.3, 1.0) : 0.0;
  if (rng.Chance(0.25)) {  // lamps that the camera balanced wrongly
    const double warm = rng.Normal(0, 0.16);
    r.red_gain *= std::exp(0.6 * warm);
    r.blue_gain *= std::exp(-1.2 * warm);
  }
  const bool white = r.ground == GroundKind::kPureWhite || r.ground == GroundKind::kWhiteBoard;
  if (white && rng.Chance(0.5))
    r.fat = {rng.Uniform(84, 94), rng.Uniform(-1, 3), rng.Uniform(0, 7)};
}

// Pale lean whose thin veins hardly stand out, wet, often lit along the edge.
void MakePork(Recipe& r, math::Rng rng) {
  r.lean = {rng.Uniform(44, 64), rng.Uniform(6, 20), rng.Uniform(6, 19)};
  r.fat = {r.lean.L + rng.Uniform(8, 26), rng.Uniform(0, 0.6 * r.lean.a), rng.Uniform(2, 14)};
  r.eye_marbling = 0.002 * std::pow(30.0, rng.Uniform());
  r.fleck_width_mm = rng.Uniform(0.15, 0.5);
  r.fat_opacity = rng.Uniform(0.5, 1.0);
  r.soften_mm = rng.Uniform(0.1, 0.5);
  r.glitter = rng.Chance(0.8) ? 8.0 * std::pow(25.0, rng.Uniform()) : 0.0;
  r.rim_light = rng.Chance(0.6) ? rng.Uniform(0.1, 0.8) : 0.0;
  if (rng.Chance(0.5)) {
    r.ground = GroundKind::kPureBlack;
    r.shadow = 0.0;
  }
}

}  // namespace

void Widen(Recipe& r) {
  math::Rng rng = math::Rng(r.seed).Fork(1300);
  // Many collected photos show a steak 150 to 800 px wide; close crops show single fibres.
  r.px_per_mm = 2.0 * std::pow(14.0, rng.Uniform());
  r.tilt_deg = rng.Chance(0.6) ? rng.Uniform(0, 15) : rng.Uniform(0, 50);
  const double meat = rng.Uniform();
  const bool pork = meat < 0.18;
  if (pork) {
    r.lean = {rng.Uniform(44, 64), rng.Uniform(5, 18), rng.Uniform(3, 16)};
    r.fat = {rng.Uniform(72, 92), rng.Uniform(0, 6), rng.Uniform(1, 12)};
  } else if (meat < 0.26) {  // veal
    r.lean = {rng.Uniform(46, 58), rng.Uniform(10, 18), rng.Uniform(6, 14)};
  } else if (meat < 0.40) {  // very dark
    r.lean = {rng.Uniform(17, 29), rng.Uniform(5, 20), rng.Uniform(1, 10)};
  } else if (meat < 0.55) {  // vivid retouched red
    r.lean = {rng.Uniform(36, 50), rng.Uniform(32, 46), rng.Uniform(14, 28)};
  } else if (meat < 0.65) {  // greyed and browned
    r.lean = {rng.Uniform(32, 46), rng.Uniform(4, 13), rng.Uniform(5, 16)};
  }
  if (rng.Chance(0.3)) r.fat = {rng.Uniform(60, 92), rng.Uniform(-1, 10), rng.Uniform(0, 28)};
  if (rng.Chance(0.35))
    r.eye_marbling = std::clamp(0.004 * std::pow(60.0, rng.Uniform()), 0.0005, 0.3);
  r.cap_factor = rng.Uniform(0.9, 2.2);
  r.fleck_width_mm = 0.15 * std::pow(9.0, rng.Uniform());
  r.soften_mm = rng.Uniform(0.05, 0.6);
  r.fat_opacity = rng.Uniform(0.65, 1.0);
  r.grain = rng.Uniform(0.0, 0.2);
  r.lean_variation = rng.Uniform(0.2, 3.0);
  r.relief = rng.Uniform(0.2, 4.0);
  r.wrinkles = rng.Chance(0.5) ? rng.Uniform(0.2, 1.0) : 0.0;
  r.film = rng.Chance(0.08) ? rng.Uniform(0.3, 1.0) : 0.0;
  r.connective_lines = rng.Chance(0.7) ? 2 + static_cast<int>(rng.Below(14)) : 0;
  r.glare_share = rng.Chance(0.2) ? 0.0 : 0.15 * std::pow(rng.Uniform(), 2.0);
  r.falloff = rng.Uniform(1.0, 2.6);
  r.red_gain = std::exp(rng.Normal(0, 0.07));
  r.blue_gain = std::exp(rng.Normal(0, 0.12));
  r.exposure = rng.Uniform(0.6, 1.5);
  r.blur_sigma_px = 0.4 * std::pow(6.0, rng.Uniform());
  r.sharpen = rng.Chance(0.3) ? rng.Uniform(0.8, 2.5) : rng.Uniform(0, 0.9);
  r.tone = rng.Uniform(0, 1.0);
  r.noise = 0.0008 * std::pow(14.0, rng.Uniform());
  r.jpeg_quality = 45 + static_cast<int>(rng.Below(53));
  const double ground = rng.Uniform();
  if (ground < 0.15)
    r.ground = GroundKind::kPureWhite;
  else if (ground < 0.30)
    r.ground = GroundKind::kPureBlack;
  if (r.ground == GroundKind::kPureWhite || r.ground == GroundKind::kPureBlack) r.shadow = 0.0;
  AddRealLooks(r, math::Rng(r.seed).Fork(1301));
  if (pork) MakePork(r, math::Rng(r.seed).Fork(1302));
  r.pieces = 1;
  r.card = rng.Chance(0.15);
  // Fine enough for the photo, no finer; a window keeps close-ups small.
  r.raster_px_per_mm = std::clamp(1.4 * r.px_per_mm, 9.0, 28.0);
  r.window_px = 1100;
}

}  // namespace ribwright::phantom
