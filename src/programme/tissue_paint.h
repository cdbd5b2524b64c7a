// SPDX-License-Identifier: Apache-2.0
// The photo with its tissue painted over it, straight into a cairo surface (32 bits a pixel, B G R
// x).
#pragma once

#include <opencv2/core/mat.hpp>

#include "programme/draw.h"

namespace ribwright::programme {

// Surface of the photo's width and `height` >= rows; what lies below the photo is left black.
// What is outside every face is darkened; `stripe_px` is the width of the unreadable's stripes.
SurfacePtr PaintTissue(const cv::Mat& rgb, const cv::Mat& tissue, int height, int stripe_px);

}  // namespace ribwright::programme
