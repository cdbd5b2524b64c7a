// SPDX-License-Identifier: Apache-2.0
// The board under the meat, in its own plane: wood, steel, white plastic, butcher paper, black
// tray, blue or dark board, or a pure white or black ground of a cut-out picture.
#pragma once

#include <opencv2/core/mat.hpp>

#include "phantom/recipe.h"

namespace ribwright::phantom {

// CV_16UC3 linear reflectance (surface.h's kUnit) of `size` pixels at px_per_mm.
cv::Mat PaintGround(cv::Size size, double px_per_mm, const Recipe& recipe);

}  // namespace ribwright::phantom
