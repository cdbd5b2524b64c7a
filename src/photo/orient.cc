// SPDX-License-Identifier: Apache-2.0
#include "photo/orient.h"

#include <algorithm>
#include <opencv2/core.hpp>

#include "base/check.h"

namespace ribwright::photo {
namespace {

// Upright rows and columns are stored columns and rows, each from its first (false) or last (true).
struct Turn {
  bool rows_from_last_column = false;
  bool columns_from_last_row = false;
};

// Square by square: a column of stored pixels crosses as many cache lines as it has rows, and a
// square's worth of them stays in the cache. One pass, where a transpose and a flip would be two.
void TurnQuarter(const cv::Mat& stored, Turn turn, cv::Mat& upright) {
  constexpr int kSquare = 32;
  upright.create(stored.cols, stored.rows, CV_8UC3);
  const int bands = (upright.rows + kSquare - 1) / kSquare;
  cv::parallel_for_(cv::Range(0, bands), [&](const cv::Range& range) {
    for (int top = range.start * kSquare; top < std::min(range.end * kSquare, upright.rows);
         top += kSquare) {
      const int bottom = std::min(top + kSquare, upright.rows);
      for (int left = 0; left < upright.cols; left += kSquare) {
        const int right = std::min(left + kSquare, upright.cols);
        for (int y = top; y < bottom; ++y) {
          const int column = turn.rows_from_last_column ? stored.cols - 1 - y : y;
          auto* out = upright.ptr<cv::Vec3b>(y);
          for (int x = left; x < right; ++x) {
            const int row = turn.columns_from_last_row ? stored.rows - 1 - x : x;
            out[x] = stored.ptr<cv::Vec3b>(row)[column];
          }
        }
      }
    }
  });
}

}  // namespace

cv::Mat Upright(const cv::Mat& stored, int orientation) {
  RIBWRIGHT_CHECK(orientation >= 1 && orientation <= 8);
  RIBWRIGHT_CHECK(stored.type() == CV_8UC3);
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
      cv::flip(stored, upright, -1);
      break;
    case 4:
      cv::flip(stored, upright, kUpsideDown);
      break;
    case 5:
      TurnQuarter(stored, {false, false}, upright);
      break;
    case 6:
      TurnQuarter(stored, {false, true}, upright);
      break;
    case 7:
      TurnQuarter(stored, {true, true}, upright);
      break;
    default:
      TurnQuarter(stored, {true, false}, upright);
      break;
  }
  return upright;
}

}  // namespace ribwright::photo
