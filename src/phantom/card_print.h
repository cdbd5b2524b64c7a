// SPDX-License-Identifier: Apache-2.0
// The card as some printer printed it: scaled a little, every patch off its nominal colour, tinted
// paper, a few stains. What was really printed is known, so that a test can enter measured values.
#pragma once

#include <opencv2/core/mat.hpp>
#include <string>
#include <vector>

#include "phantom/paint_colour.h"
#include "phantom/recipe.h"

namespace ribwright::phantom {

struct PrintedPatch {
  std::string id;  // as in photo/card_layout.h; "P" is bare paper
  PaintLab lab;    // under D50
};

struct PrintedCard {
  double px_per_mm = 10.0;  // of `look`, in printed millimetres
  double width_mm = 0.0;    // as printed
  double height_mm = 0.0;
  double ruler_mm = 0.0;  // what the 150 mm ruler measures on this print
  cv::Mat look;           // CV_16UC4 as in surface.h
  std::vector<PrintedPatch> patches;
};

PrintedCard PrintCard(const Recipe& recipe, double px_per_mm);

}  // namespace ribwright::phantom
