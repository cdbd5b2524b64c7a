// SPDX-License-Identifier: Apache-2.0
// Traits: plain numbers of how a face looks, by which photos that nobody should judge (cooked or
// ground meat, out of focus, under film) are told from raw cut faces (usable.h). None needs a scale
// or a white balance that is right; all are finite for any face.
#pragma once

#include <array>
#include <cstddef>
#include <opencv2/core.hpp>
#include <string_view>

#include "face/fat_map.h"

namespace ribwright::face {

enum class Trait {
  kLeanGreen,     // median ln(green / red) of lean, linear light: -2 red .. 0 grey
  kLeanBlue,      // median ln(blue / green) of lean
  kFatAboveLean,  // the same ln(green / red) of thick fat, less the lean's; 0 without thick fat
  kFatBrighter,   // ln(luminance of thick fat / lean); 0 without thick fat
  kNoThickFat,    // 1 where no thick fat is seen
  kLeanEven,      // quartile range of ln luminance of lean
  kFine,          // ln of fine over middling detail (Laplacian at 0 against 2 px)
  kMiddle,        // ln of middling over coarse detail (2 against 4 px)
  kEdge,          // ln of the steepest luminance steps (99th percentile), over lean's luminance
  kMarbling,      // ln(1 + marbling in percent)
  kDisagreement,  // ln(1 + points between learned map and colour rules)
  kUnreadable,    // root of the share not readable
  kPaleNotFat,    // root of the share that is pale but not fat: film, sheen
  kMuscleShare,   // share of the face inside named muscles
  kFatRagged,     // ln of fat's rim inside muscles, over the root of the muscles' area
};
inline constexpr std::size_t kTraits = 15;
inline constexpr std::array<std::string_view, kTraits> kTraitNames{
    "lean_green",   "lean_blue",  "fat_above_lean", "fat_brighter", "no_thick_fat",
    "lean_even",    "fine",       "middle",         "edge",         "marbling",
    "disagreement", "unreadable", "pale_not_fat",   "muscle_share", "fat_ragged"};

using FaceTraits = std::array<double, kTraits>;

struct TraitInput {
  const cv::Mat& rgb;      // CV_8UC3 canvas
  const cv::Mat& mask;     // CV_8U: the face
  const cv::Mat& muscles;  // CV_8U: inside muscles
  const FatMap& fat;
  double marbling_pct = 0.0;
  double disagreement = 0.0;  // points
};
FaceTraits TraitsOf(const TraitInput& in);

}  // namespace ribwright::face
