// SPDX-License-Identifier: Apache-2.0
// Lens and sensor: optical blur, white balance, noise, tone curve, 8 bits, sharpening. JPEG comes
// after.
#pragma once

#include <opencv2/core/mat.hpp>

#include "phantom/recipe.h"

namespace ribwright::phantom {

// `canvas` (CV_16UC3, linear, kUnit) is used up; returns CV_8UC3 sRGB. `exposure` multiplies linear
// light.
cv::Mat Expose(cv::Mat& canvas, const Recipe& recipe, double exposure);

}  // namespace ribwright::phantom
