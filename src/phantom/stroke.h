// SPDX-License-Identifier: Apache-2.0
// A round brush with soft edges that paints only on one label of a face and counts what it adds.
#pragma once

#include <opencv2/core/mat.hpp>

namespace ribwright::phantom {

class Brush {
 public:
  // `layer` (8U) is painted where `label` equals `only`. Coordinates and radii in grid pixels.
  Brush(cv::Mat& layer, const cv::Mat& label, int only)
      : layer_(layer), label_(label), only_(only) {}

  // A capsule from p0 (radius r0) to p1 (radius r1). A radius under half a pixel paints a paler
  // line of the same area, so that thin threads keep their fat.
  void Capsule(cv::Point2d p0, double r0, cv::Point2d p1, double r1);
  // Whole pixels' worth painted so far.
  double Painted() const { return painted_ / 255.0; }
  bool OnLabel(cv::Point2d p) const;

 private:
  cv::Mat& layer_;
  const cv::Mat& label_;
  int only_;
  double painted_ = 0.0;
};

}  // namespace ribwright::phantom
