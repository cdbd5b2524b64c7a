// SPDX-License-Identifier: Apache-2.0
// EXIF orientation: turns stored pixels upright.
//
// value: what lies at the stored picture's top row and left column (EXIF 2.32, tag 0x0112)
//   1 top left (nothing to do)  2 top right   3 bottom right  4 bottom left
//   5 left top                  6 right top   7 right bottom  8 left bottom
#pragma once

#include <opencv2/core/mat.hpp>

namespace ribwright::photo {

// orientation 1 returns `stored` itself, without a copy; 2..8 a new picture.
// `stored`: CV_8UC3.
cv::Mat Upright(const cv::Mat& stored, int orientation);

}  // namespace ribwright::photo
