// SPDX-License-Identifier: Apache-2.0
// The photo with its tissue painted over it, in memory that cairo draws on (32 bits a pixel, B G R
// x).
#pragma once

#include <opencv2/core/mat.hpp>

namespace ribwright::programme {

// CV_8UC4, the photo's width and `height` >= rows, continuous; what lies below the photo is not
// set. What is outside every face is darkened; `stripe_px` is the width of the unreadable's
// stripes.
cv::Mat PaintTissue(const cv::Mat& rgb, const cv::Mat& tissue, int height, int stripe_px);

// The same memory as CV_8UC3, R G B; `bgrx` must not be used after. Packed in place, since fresh
// memory costs more than the arithmetic.
cv::Mat PackRgb(const cv::Mat& bgrx);

}  // namespace ribwright::programme
