// SPDX-License-Identifier: Apache-2.0
// Linear light of small rectangles of the card, read through its homography.
#pragma once

#include <opencv2/core/mat.hpp>
#include <optional>
#include <vector>

#include "photo/card_find.h"
#include "photo/card_layout.h"
#include "photo/light_plane.h"

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

// Linear light of a patch as it stands in the photo.
struct PatchReading {
  int patch = -1;  // index into CardPatches()
  SiteReading site;
};

// Every patch that is whole in the photo, even enough and not clipped.
std::vector<PatchReading> ReadPatches(const cv::Mat& rgb, const CardFound& card);

struct PaperReading {
  std::vector<SiteReading> whites;  // not clipped, even, agreeing with their neighbours
  std::vector<CardWhite> places;    // of the whites
  cv::Vec3d paper;                  // linear light of paper at the middle of the card
  LightPlane light;                 // ln of R + G + B of paper
  cv::Point2d middle_px;
};

// nullopt when fewer than six places of bare paper can be read; clipped_whites counts overexposed
// ones.
std::optional<PaperReading> ReadPaper(const cv::Mat& rgb, const CardFound& card,
                                      int* clipped_whites);

// A patch's light over that of the paper beside it (left and right), each channel; where either
// side is missing, over the paper's plane.
cv::Vec3d OverPaper(const PatchReading& patch, const PaperReading& paper);

}  // namespace ribwright::photo
