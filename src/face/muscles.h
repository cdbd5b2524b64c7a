// SPDX-License-Identifier: Apache-2.0
// Muscles of one face: lean and its flecks, parted along seams. A seam is fat that is thick or
// long; what is left of the face, opened by a few millimetres, gives one core a muscle, and each
// core grows back over what is nearest to it through meat that is not thick fat (watershed on the
// smoothed fat share).
//
// Naming is by place and shape, marked as a guess: the largest round muscle is the eye
// (longissimus); a long muscle lying against the eye across a seam, on the side of the outside fat,
// is the cap (spinalis).
#pragma once

#include <opencv2/core.hpp>
#include <vector>

#include "report/photo_report.h"

namespace ribwright::face {

struct MuscleRegion {
  report::MuscleName name = report::MuscleName::kOther;
  cv::Mat mask;  // CV_8U on the canvas
  double area_px = 0.0;
  double elongation = 1.0;  // longest over shortest side of the least rectangle round it
};

struct MuscleMap {
  std::vector<MuscleRegion> regions;  // eye first, then by area
  cv::Mat labels;                     // CV_32S on the canvas: 0 none, i + 1 = regions[i]
  bool eye_certain = false;
};

// fraction CV_32F and mask CV_8U on the canvas; mm_px: canvas pixels a millimetre, or the stand-in
// used where no scale is known.
MuscleMap PartMuscles(const cv::Mat& fraction, const cv::Mat& mask, double mm_px);

}  // namespace ribwright::face
