// SPDX-License-Identifier: Apache-2.0
// A texture seen through a homography, linear between its pixels, for the renderer's 16-bit
// linear-light pictures (three or four channels). Faster here than the general routine, and the
// same bytes on every machine.
#pragma once

#include <opencv2/core.hpp>

namespace ribwright::phantom {

enum class Outside { kEmpty, kMirror };

// target(x, y) = texture(texture_from_target * (x, y, 1)), both in pixel indices (centres whole).
// Beyond the texture: zeros, or the texture mirrored. CV_16UC3 or CV_16UC4. About 10 ns a pixel.
cv::Mat WarpLinear(const cv::Mat& texture, const cv::Matx33d& texture_from_target, cv::Size target,
                   Outside outside);

}  // namespace ribwright::phantom
