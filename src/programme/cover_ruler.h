// SPDX-License-Identifier: Apache-2.0
// The cover's thickness as a ruler: lines from the face's edge, square to it, to the first muscle.
//
// A line every 5 mm of the edge, where the distance is what the judge measures as cover: 0.5 to
// 30 mm and no bone between (docs/science/face.md). Without a scale, 120 lines round the face, up
// to a tenth of its shorter side long (assumed: cover is never thicker on a trimmed face).
// Everything is in pixels of the grid that the masks lie on; pixel centres are at whole numbers
// here. Deterministic, thread-safe.
#pragma once

#include <opencv2/core/mat.hpp>
#include <optional>
#include <vector>

namespace ribwright::programme {

struct RulerLine {
  cv::Point2d edge;
  cv::Point2d muscle;
};

struct RulerInput {
  cv::Mat inside;   // CV_8U, the face
  cv::Mat muscles;  // CV_8U
  cv::Mat bone;     // CV_8U or empty
  std::optional<double> px_per_mm;
};
std::vector<RulerLine> CoverRuler(const RulerInput& in);

}  // namespace ribwright::programme
