// SPDX-License-Identifier: Apache-2.0
#include "photo/orient.h"

#include <opencv2/core.hpp>

#include "base/check.h"

namespace ribwright::photo {

cv::Mat Upright(const cv::Mat& stored, int orientation) {
  RIBWRIGHT_CHECK(orientation >= 1 && orientation <= 8);
  constexpr int kUpsideDown = 0;
  constexpr int kMirror = 1;
  cv::Mat upright;
  switch (orientation) {
    case 1:
      return stored;
    case 2:
      cv::flip(stored, upright, kMirror);
      break;
    case 3:
      cv::rotate(stored, upright, cv::ROTATE_180);
      break;
    case 4:
      cv::flip(stored, upright, kUpsideDown);
      break;
    case 5:
      cv::transpose(stored, upright);
      break;
    case 6:
      cv::rotate(stored, upright, cv::ROTATE_90_CLOCKWISE);
      break;
    case 7:
      cv::rotate(stored, upright, cv::ROTATE_90_CLOCKWISE);
      cv::flip(upright, upright, kUpsideDown);
      break;
    default:
      cv::rotate(stored, upright, cv::ROTATE_90_COUNTERCLOCKWISE);
      break;
  }
  return upright;
}

}  // namespace ribwright::photo
