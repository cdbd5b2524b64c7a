// SPDX-License-Identifier: Apache-2.0
// Where the printed card lies in a photo.
//
// Markers (AprilTag 36h11, Olson 2011; Wang & Olson 2016; library apriltag) are looked for in a
// copy of at most about 1 megapixel, and, when fewer than four are seen, of 2.2. The corners of
// each one are then measured in the full photo: straight lines through the black square's edges,
// each edge point where the light's area between black and white balances (linear light, so that
// blur moves nothing). Markers that agree on one plane (best pair, then all that follow it) give
// the homography of the card's designed mm to photo pixels. Needs two markers; looks from 0 to well
// over 45 degrees. A card seen under 3 px/mm is not found.
//
// print_scale: real mm a designed mm. Known when the user measured the ruler (sd 0.2 %: 0.3 mm in
// 150, assumed); else 1 with an assumed sd of 1.5 %. The printer is taken to scale both ways alike.
// Deterministic for any thread count; safe to call from several threads; about 6 bytes a pixel.
#pragma once

#include <opencv2/core/mat.hpp>
#include <optional>
#include <vector>

#include "photo/homography.h"
#include "report/photo_report.h"

namespace ribwright::photo {

struct CardOptions {
  int threads = 2;
  std::optional<double> ruler_mm;  // what the ruler of 150 mm measures on this print, 100..200
};

struct CardFound {
  Homography px_from_design;  // designed mm of card_layout.h to photo pixels
  double print_scale = 1.0;
  double print_relative_sd = 0.0;
  std::vector<int> tag_ids;  // those used, ascending
  double tilt_deg = 0.0;     // of the view against square-on, from the shape at the card's middle
  double px_per_mm = 0.0;    // at the card's middle, designed mm
  std::vector<cv::Point2d> region_px;  // the card with 2 mm around it, one ring
  std::vector<report::Caution> warnings;
};

inline constexpr double kRulerRelativeSd = 0.002;    // assumed
inline constexpr double kUnmeasuredPrintSd = 0.015;  // assumed
inline constexpr double kLeastRulerMm = 100.0;
inline constexpr double kMostRulerMm = 200.0;

// rgb: CV_8UC3 (or CV_8UC1 grey), upright. nullopt: no card. ruler_mm out of range is the caller's
// fault.
std::optional<CardFound> FindCard(const cv::Mat& rgb, const CardOptions& options = {});

}  // namespace ribwright::photo
