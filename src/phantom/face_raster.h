// SPDX-License-Identifier: Apache-2.0
// FaceRaster: the noiseless truth of one cut face on a fine grid in its own plane. Everything the
// truth report says is counted on it, and everything the photo shows is averaged from it.
//
// Grid: pixel (i, j) covers the square from origin_mm + (i, j) / px_per_mm, 1 / px_per_mm wide; its
// centre is half a pixel further. x to the tail, y down (anatomy.h). label: 8U, kOutside, kFat
// (seam and cover), kBone, or kFirstMuscle + index into `muscles`. fat: 8U, 0..255 share of the
// pixel that is fat; 255 wherever label is kFat, 0 on bone and outside. line: 8U, 0..255 share of
// the pixel that is connective tissue (counts as lean).
#pragma once

#include <opencv2/core/mat.hpp>
#include <vector>

#include "phantom/anatomy.h"
#include "phantom/recipe.h"

namespace ribwright::phantom {

inline constexpr std::uint8_t kOutside = 0;
inline constexpr std::uint8_t kFat = 1;
inline constexpr std::uint8_t kBone = 2;
inline constexpr std::uint8_t kFirstMuscle = 3;

struct RasterMuscle {
  report::MuscleName name = report::MuscleName::kOther;
  double marbling_aim = 0.0;
  double fibre_angle = 0.0;
  cv::Rect box;  // of its pixels; empty when nothing of it is left
  std::int64_t pixels = 0;
};

struct FaceRaster {
  double px_per_mm = 20.0;
  cv::Point2d origin_mm;
  cv::Mat label;
  cv::Mat fat;
  cv::Mat line;
  cv::Mat shade;  // 8U, light that reaches the surface, 255 all; empty: all everywhere
  std::vector<RasterMuscle> muscles;
  std::size_t eye = 0;

  cv::Point2d MmFromGrid(double x, double y) const {
    return {origin_mm.x + x / px_per_mm, origin_mm.y + y / px_per_mm};
  }
};

// Labels only (fat is 255 on kFat, 0 elsewhere; line 0).
FaceRaster RasterFromPlan(const Plan& plan, const Recipe& recipe);

}  // namespace ribwright::phantom
