// SPDX-License-Identifier: Apache-2.0
// Wet glare: small facets of the moist surface that mirror the lamp. A facet mirrors when its slope
// matches the half-way slope between lamp and camera, which drifts across the face; slow slopes
// give sheen, quick ones give sparks of a few pixels. Film wrap adds long bright folds.
#pragma once

#include <opencv2/core/mat.hpp>

#include "math/rng.h"
#include "phantom/recipe.h"

namespace ribwright::phantom {

// The surface's height and its slopes, coarse: `step` fine pixels a value, slopes per millimetre.
struct Relief {
  double step = 1.0;
  cv::Mat slope_x;
  cv::Mat slope_y;
};
Relief MakeRelief(cv::Size fine, double px_per_mm, const Recipe& recipe, math::Rng rng);

// CV_32F: mirrored light over the mean diffuse light of lean; 1 where both are equal. About
// recipe.glare_share of the pixels of `inside` (8U) exceed 1.
cv::Mat GlareField(const cv::Mat& inside, const Relief& relief, double px_per_mm,
                   const Recipe& recipe, math::Rng rng);

}  // namespace ribwright::phantom
