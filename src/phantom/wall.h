// SPDX-License-Identifier: Apache-2.0
// The side of a thick piece as the camera sees it below the face: lean and fat go on from the
// face's edge down to the board. The wall is no part of the face (truth: outside).
#pragma once

#include <opencv2/core/mat.hpp>

#include "phantom/scene.h"

namespace ribwright::phantom {

// Paints onto `canvas` (CV_16UC3, linear, surface.h's kUnit).
void PaintWall(cv::Mat& canvas, const Piece& piece, const Camera& camera, const Recipe& recipe);

}  // namespace ribwright::phantom
