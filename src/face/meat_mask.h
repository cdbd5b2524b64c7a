// SPDX-License-Identifier: Apache-2.0
// Where the meat lies: lean is found by its red hue, then meat with its fat is cut from the ground
// by graph cuts over colour mixtures (OpenCV's grabCut; Rother, Kolmogorov & Blake 2004) on a small
// copy.
#pragma once

#include <opencv2/core.hpp>
#include <vector>

namespace ribwright::face {

struct MeatRegion {
  cv::Rect box;        // photo pixels
  double share = 0.0;  // of the photo's area
  bool touches_edge = false;
};

struct MeatMask {
  cv::Mat mask;                     // CV_8U 0/255, the size of `rgb` made small
  double small_from_photo = 1.0;    // scale of mask against the photo
  std::vector<MeatRegion> regions;  // largest first
  cv::Mat labels;                   // CV_32S, 0 = none, i + 1 = regions[i]
  double lean_share = 0.0;          // lean-coloured share of the photo
  bool white_ground = false;
};

// rgb CV_8UC3; ignore CV_8U of the same size or empty.
MeatMask FindMeat(const cv::Mat& rgb, const cv::Mat& ignore);

// Lean-coloured pixels (0/255) of a CV_8UC3 R G B picture: hue of raw meat, enough chroma, not
// pale.
cv::Mat LeanColoured(const cv::Mat& rgb);

}  // namespace ribwright::face
