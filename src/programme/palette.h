// SPDX-License-Identifier: Apache-2.0
// The colours in which overlays and sheets show tissue, and a model of how the colour-blind see
// them.
//
// Tissues differ in lightness as well as in hue, so that protanopes, deuteranopes, tritanopes and a
// print in black and white keep them apart; what cannot be read is striped besides. A test asks for
// a CIEDE2000 of at least kLeastDifference between any two, and against raw lean, for every kind of
// sight, both for the pure paint and for the paint as it lies over meat. Colours: our own choice.
#pragma once

#include <opencv2/core/matx.hpp>
#include <span>
#include <string_view>

#include "report/tissue.h"

namespace ribwright::programme {

struct TissuePaint {
  report::Tissue tissue = report::Tissue::kOutside;
  std::string_view words;  // in the legend
  cv::Vec3b rgb;
  double opacity = 0.0;  // of the paint over the photo, 0..1
};

// Marbling, other fat, bone, unreadable; lean and what is outside get no paint.
std::span<const TissuePaint> TissuePaints();

inline constexpr double kLeastDifference = 20.0;

enum class Sight { kUsual, kProtanope, kDeuteranope, kTritanope };
// How an 8-bit sRGB colour looks to such an eye: a matrix on linear light (Machado, Oliveira &
// Fernandes 2009, severity 1.0; memory). Results outside the gamut are cut at its border.
cv::Vec3b SeenBy(Sight sight, const cv::Vec3b& rgb);

}  // namespace ribwright::programme
