// SPDX-License-Identifier: Apache-2.0
// Recipe: everything drawn by chance for one phantom photo, in plain numbers, before any pixel is
// made.
//
// DrawRecipe(seed, options) is a pure function: the same seed and options give the same recipe. A
// caller may change any field before Render(); the seed then still decides the fine detail (noise,
// single flecks). Mixed difficulty draws: 6-20 px/mm (log-uniform), tilt 0-45 degrees, blur sigma
// 0.6-2 px, JPEG 60-95, glare on 0-12 % of the face, light falling off up to 2:1, connective lines
// on 70 % of faces; eye marbling under 4, 4-10, 10-20, 20-35, 35-55 % on 20, 30, 25, 15, 10 % of
// faces. Easy is kinder and hard is worse than mixed in every one of these except marbling. Cut,
// when not given: rib 60, strip 25, sirloin 15 %. Anatomy, colours and lens figures are our
// assumptions of what occurs (`assumed`), see docs/science/phantom.md.
#pragma once

#include <cstdint>
#include <optional>
#include <string_view>

#include "phantom/paint_colour.h"

namespace ribwright::phantom {

enum class Cut { kRib, kStrip, kSirloin };
enum class Difficulty { kEasy, kMixed, kHard };
enum class GroundKind {
  kWood,
  kSteel,
  kWhiteBoard,
  kPaper,
  kBlackTray,
  kBlueBoard,
  kDarkBoard,
  kPureWhite,
  kPureBlack
};

// Photos that the judge should refuse or warn of, drawn with everything else as the seed says:
// cooked: browned lean, seared in places; ground: minced strands in place of muscles; empty: the
// board alone; unfocused: blur of 7-20 px; film: shining wrap over more than half of the face.
enum class Altered { kNone, kCooked, kGround, kEmpty, kUnfocused, kFilm };

// "rib", "strip", "sirloin"; "easy", "mixed", "hard"; "none", "cooked", "ground", ...
std::string_view CutText(Cut cut);
std::string_view DifficultyText(Difficulty difficulty);
std::optional<Cut> CutFromText(std::string_view text);
std::optional<Difficulty> DifficultyFromText(std::string_view text);
std::string_view AlteredText(Altered altered);
std::optional<Altered> AlteredFromText(std::string_view text);

struct RecipeOptions {
  std::optional<Cut> cut = std::nullopt;  // none: by seed
  Difficulty difficulty = Difficulty::kMixed;
  std::optional<bool> card = std::nullopt;  // none: with card
  bool wide = false;  // broader looks, for training a network only (see recipe_wide.cc)
  Altered altered = Altered::kNone;
};

struct Recipe {
  std::uint64_t seed = 0;
  Cut cut = Cut::kRib;
  Difficulty difficulty = Difficulty::kMixed;
  bool card = true;
  bool wide = false;
  Altered altered = Altered::kNone;

  // Anatomy and fat.
  int rib = 8;  // 6..12, used by the rib cut only
  bool bone = false;
  double thickness_mm = 30;     // height of the face over the ground
  double eye_marbling = 0.08;   // aimed share of the eye that is fat, 0..0.6
  double cap_factor = 1.87;     // aimed marbling of the cap over the eye's
  double fleck_width_mm = 0.4;  // median width of a vein
  double unevenness = 0.5;      // 0 even .. 1 patchy
  double cover_mm = 7;          // typical cover
  int connective_lines = 0;     // in the whole face
  int pieces = 1;
  bool touching = false;
  double jag_mm = 0.0;      // lean bundles bite into the flecks' edges by about this much
  double silverskin = 0.0;  // 0..1, share of muscle borders under a pearly membrane (lean in truth)

  // Colours under D50.
  PaintLab lean{38, 22, 11};
  PaintLab fat{77, 3, 11};
  double fat_opacity = 0.95;  // how white flecks are against pure fat
  double soften_mm = 0.2;     // light spreading under the surface, sigma
  double grain = 0.06;        // relative contrast of the fibre texture
  double lean_variation = 1;  // strength of slow colour changes
  double fibre = 0.0;         // relative light and dark of single fibre bundles
  double fat_lines = 0.0;     // 0..1, thin pink membranes and pores in cover and seams
  double sear = 0.0;          // 0..1, share under a brown crust

  // Camera.
  double px_per_mm = 11;  // at the middle of the first face, in its plane
  double tilt_deg = 15;
  double tilt_azimuth_deg = 0;
  double roll_deg = 0;
  double focal_35mm = 28;
  double frame_margin = 0.12;  // free border as a share of the scene
  double blur_sigma_px = 1.0;
  double noise = 0.004;  // standard deviation at middle grey, linear light
  double vignetting = 0.1;
  double sharpen = 0.4;
  double sharpen_sigma_px = 1.0;
  double denoise = 0.0;  // 0..1, a phone's smoothing between edges, before it sharpens
  double tone = 0.2;     // strength of the S-shaped tone curve
  double exposure = 1.0;
  double red_gain = 1.0;  // white balance error
  double blue_gain = 1.0;
  int jpeg_quality = 85;
  bool chroma_half = true;

  // Light.
  double glare_share = 0.03;
  double sparkle = 0.5;  // 0 sheen only .. 1 sparks only
  double falloff = 1.3;  // brightest over darkest across the face
  double falloff_azimuth_deg = 0;
  double light_elevation_deg = 55;
  double light_azimuth_deg = 40;
  double shadow = 0.5;  // darkness of cast shadows
  bool shadow_on_face = false;
  double relief = 1.0;      // strength of the surface's bumps
  double wrinkles = 0.0;    // 0..1, folds and knife lines
  double rim_light = 0.0;   // 0..1, lit rim along the outline
  double rim_mm = 0.8;      // its depth
  double bark = 0.0;        // 0..1, dark dried rim
  double bark_mm = 2.0;     // its depth
  double film = 0.0;        // 0..1, film wrap with long highlights
  double film_cover = 0.0;  // 0..1, share of the face that the film hides in glare
  double glitter = 0.0;     // sparks a cm2, each a short dash
  double sheen = 0.0;       // broad streaky veil over the light of lean, mostly below glare

  GroundKind ground = GroundKind::kWood;
  double printer_scale_x = 1.0;
  double printer_scale_y = 1.0;
  double printer_colour_sd = 4.0;  // Lab units a patch

  double raster_px_per_mm = 20;  // of the truth grid
  int window_px = 0;  // keep only a window of at most this side on the meat; 0: the whole photo
};

Recipe DrawRecipe(std::uint64_t seed, const RecipeOptions& options = {});
// Broadens a drawn recipe for training: scales 2-30 px/mm, other meats, odd light, cut-out faces.
void Widen(Recipe& recipe);
// Makes a drawn recipe one of the altered kinds (see Altered); kNone leaves it as it is.
void Alter(Recipe& recipe, Altered altered);

}  // namespace ribwright::phantom
