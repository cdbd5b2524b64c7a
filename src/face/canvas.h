// SPDX-License-Identifier: Apache-2.0
// Canvas: the flat picture that a face is measured on. With a known plane it is rectified (every
// pixel the same square of meat); without one it is the photo, made smaller. Both are at most
// kCanvasPixels large, so time and memory do not grow with the photo; area averaging keeps
// partial-pixel fat.
//
// canvas_from_photo and its inverse act on pixel coordinates whose first pixel's centre is (0.5,
// 0.5).
#pragma once

#include <opencv2/core.hpp>
#include <optional>

#include "photo/plane.h"

namespace ribwright::face {

inline constexpr double kCanvasPixels =
    2.4e6;  // assumed: flecks of 0.1 mm2 stay over 10 px on a rib face

// Where the networks look, which see no more of it (learned_map.h).
inline constexpr double kLearnedCanvasPixels = 1.2e6;

struct Canvas {
  cv::Mat rgb;     // CV_8UC3
  cv::Mat ignore;  // CV_8U, non-zero where no meat can be (outside the photo, the card)
  cv::Matx33d canvas_from_photo = cv::Matx33d::eye();
  cv::Matx33d photo_from_canvas = cv::Matx33d::eye();
  std::optional<double> px_per_mm;  // canvas pixels a millimetre, where the plane is known
};

// The part `box` (photo pixels) of the photo as a canvas.
Canvas MakeCanvas(const cv::Mat& rgb, const cv::Mat& ignore,
                  const std::optional<photo::Plane>& plane, const cv::Rect& box,
                  double most_pixels = kCanvasPixels);

// `point` through homography `h`.
cv::Point2d Through(const cv::Matx33d& h, double x, double y);

}  // namespace ribwright::face
