// SPDX-License-Identifier: Apache-2.0
// Wet glare: small facets of the moist surface that mirror the lamp. A facet mirrors when its slope matches
// the half-way slope between lamp and camera, which drifts across the face; slow slopes give sheen, quick
// ones give sparks of a few pixels.
#pragma once

#include <opencv2/core/mat.hpp>

#include "math/rng.h"
#include "phantom/recipe.h"

namespace ribwright::phantom {

// CV_32F: mirrored light over the mean diffuse light of lean; 1 where both are equal. About `share` of the
// pixels of `inside` (8U) exceed 1. `relief` (CV_32F) is the surface's height, in arbitrary units.
cv::Mat GlareField(const cv::Mat& inside, const cv::Mat& relief, double px_per_mm, const Recipe& recipe, math::Rng rng);

}  // namespace ribwright::phantom
