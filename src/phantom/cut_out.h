// SPDX-License-Identifier: Apache-2.0
// Cut-out pictures: whoever prepared the photo replaced all but the piece by pure white or black.
#pragma once

#include <opencv2/core/mat.hpp>

#include "phantom/scene.h"

namespace ribwright::phantom {

bool IsCutOut(GroundKind ground);
// `rgb` CV_8UC3: all but faces and side walls becomes the ground's colour, with an edge about a
// pixel soft.
void CutOut(cv::Mat& rgb, const Scene& scene, const Recipe& recipe);

}  // namespace ribwright::phantom
