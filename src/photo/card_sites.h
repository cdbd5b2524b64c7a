// SPDX-License-Identifier: Apache-2.0
// Linear light of small rectangles of the card, read through its homography.
#pragma once

#include <opencv2/core/mat.hpp>
#include <optional>
#include <vector>

#include "photo/card_find.h"

namespace ribwright::photo {

struct SiteReading {
  cv::Vec3d linear;      // R, G, B, 0..1: mean of the middle three fifths by lightness
  cv::Point2d px;        // the rectangle's middle in the photo
  double spread = 0.0;   // (4th fifth - 1st fifth) / median of R + G + B
  double clipped = 0.0;  // share of samples with a channel at 253 or more of 255
};

// rgb: CV_8UC3. The rectangle is in designed mm. nullopt where it is not wholly in the photo or has
// under 20 samples.
std::optional<SiteReading> ReadSite(const cv::Mat& rgb, const cv::Matx33d& px_from_design,
                                    double x_mm, double y_mm, double width_mm, double height_mm);

struct PatchReading {
  int patch = -1;      // index into CardPatches(); CardPatches().size() for bare paper
  cv::Vec3d relative;  // linear light over that of the paper beside it, each channel
};

struct CardReading {
  std::vector<SiteReading>
      whites;  // usable bare paper: not clipped, even, agreeing with its neighbours
  int clipped_whites = 0;
  cv::Vec3d paper;                    // linear light of paper at the middle of the card
  std::vector<PatchReading> patches;  // usable ones
};

// nullopt when fewer than six places of bare paper can be read.
std::optional<CardReading> ReadCard(const cv::Mat& rgb, const CardFound& card, int* clipped_whites);

}  // namespace ribwright::photo
