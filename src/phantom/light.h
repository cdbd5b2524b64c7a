// SPDX-License-Identifier: Apache-2.0
// Light across the scene: directional fall-off and tint, the lens's vignetting, cast shadows on the
// board, and now and then a soft shadow over the face.
#pragma once

#include <opencv2/core/mat.hpp>

#include "phantom/recipe.h"
#include "phantom/scene.h"

namespace ribwright::phantom {

// Darkens board and card where pieces shade them.
void ShadeBoard(cv::Mat& canvas, const Scene& scene, const Recipe& recipe);
// Multiplies the canvas (CV_16UC3, linear) by the light; returns the exposure that keeps white
// paper just under clipping at the brightest place, times the recipe's own.
double LightScene(cv::Mat& canvas, const Scene& scene, const Recipe& recipe);

}  // namespace ribwright::phantom
