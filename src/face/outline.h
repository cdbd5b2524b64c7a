// SPDX-License-Identifier: Apache-2.0
// Rings of a mask as an outline in photo pixels, thinned to about half a canvas pixel.
#pragma once

#include <opencv2/core.hpp>

#include "face/canvas.h"
#include "report/photo_report.h"

namespace ribwright::face {

report::Outline OutlineOf(const cv::Mat& mask, const Canvas& canvas);
// Even-odd fill of an outline in photo pixels onto the canvas (0/255).
cv::Mat MaskOf(const report::Outline& outline, const Canvas& canvas);

}  // namespace ribwright::face
