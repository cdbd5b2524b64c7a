// SPDX-License-Identifier: Apache-2.0
// Smooth random fields: a coarse grid of normals, enlarged by cubic interpolation. Mean about 0,
// standard deviation about 1 before interpolation (about 0.75 after). The same Rng gives the same
// field. CV_32F.
#pragma once

#include <opencv2/core.hpp>
#include <vector>

#include "math/rng.h"

namespace ribwright::phantom {

// `pitch_px`: distance of independent values, at least 1.
cv::Mat SmoothField(cv::Size size, double pitch_px, math::Rng rng);
// Different pitches along and across a direction (radians, image axes).
cv::Mat StretchedField(cv::Size size, double along_px, double across_px, double angle,
                       math::Rng rng);
// A few octaves, each half the pitch and `fall` times the strength of the one before.
cv::Mat OctaveField(cv::Size size, double pitch_px, int octaves, double fall, math::Rng rng);

// A slow field kept coarse and read a fine row at a time, linearly between its values: a twentieth
// of the memory of the same field at full size.
class SlowRows {
 public:
  // Fine pixel x reads coarse position x / step + offset.x, kept inside the grid.
  SlowRows(cv::Mat coarse, double step, cv::Size fine, cv::Point2d offset = {0, 0});
  // Values at the fine pixels of row y; valid until the next call.
  const float* Row(int y);

 private:
  cv::Mat coarse_;
  double step_;
  cv::Point2d offset_;
  std::vector<float> mixed_;
  std::vector<float> row_;
};

// The grid on which a field for SlowRows is drawn.
cv::Size CoarseSize(cv::Size fine, double step);

}  // namespace ribwright::phantom
