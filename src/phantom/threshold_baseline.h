// SPDX-License-Identifier: Apache-2.0
// What plain thresholds make of a phantom when they are even told where the eye is: the yardstick
// for whether a set of phantoms is hard enough. Not used by the judge.
//
// Both look at the green channel (fat and lean differ most there) of 8-bit sRGB inside `eye`
// (CV_8U, non-zero) and return the share of eye pixels called fat, %.
//   global: Otsu's threshold (Otsu 1979) on the histogram inside the eye.
//   local:  brighter by `offset` codes than the mean of eye pixels in a square window of
//   `window_mm`.
// The offset of 14 codes and window of 8 mm did best among 6..24 codes and 4..16 mm on work seeds
// (`assumed` beyond that). An empty eye gives 0.
#pragma once

#include <opencv2/core/mat.hpp>

namespace ribwright::phantom {

double GlobalThresholdMarbling(const cv::Mat& rgb, const cv::Mat& eye);
double LocalThresholdMarbling(const cv::Mat& rgb, const cv::Mat& eye, double px_per_mm,
                              double offset = 14.0, double window_mm = 8.0);

}  // namespace ribwright::phantom
