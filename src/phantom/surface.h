// SPDX-License-Identifier: Apache-2.0
// Surface: how the cut face looks, on a grid of its own plane about as fine as the photo:
// reflectance averaged from the truth raster, softened by light under the surface, with fibre
// texture, slow colour changes, relief and wet glare. Still without the scene's light.
//
// look: CV_16UC4, premultiplied linear-light R, G, B and cover (alpha); kUnit is reflectance or
// alpha 1. Glare is added as white of the strength that the light of unit strength would mirror.
// fat, line, label: the truth averaged (label: nearest) onto the same grid; glare: 255 where the
// mirrored light outshines the meat's own. lean, fat_colour: mean linear reflectance by truth.h's
// definitions.
#pragma once

#include <opencv2/core/mat.hpp>

#include "phantom/face_raster.h"
#include "phantom/paint_colour.h"
#include "phantom/recipe.h"

namespace ribwright::phantom {

inline constexpr double kUnit = 8192.0;  // leaves headroom of 8 for glare in 16 bits

struct Surface {
  double px_per_mm = 0.0;
  cv::Point2d origin_mm;
  cv::Mat look;
  cv::Mat fat;
  cv::Mat line;
  cv::Mat label;
  cv::Mat glare;
  PaintLab lean;
  PaintLab fat_colour;
};

Surface PaintSurface(const FaceRaster& face, const Recipe& recipe, double px_per_mm);

}  // namespace ribwright::phantom
