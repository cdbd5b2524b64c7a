// SPDX-License-Identifier: Apache-2.0
// The matrix (and, where it helps, the tone exponent) from light relative to paper to XYZ;
// colour_read.h states the sum that is minimised.
#pragma once

#include <opencv2/core/matx.hpp>
#include <optional>
#include <vector>

#include "photo/srgb.h"

namespace ribwright::photo {

struct ColourPair {
  cv::Vec3d relative;  // linear light over paper's
  LabColour lab;       // what the patch is
  cv::Vec2d at;        // where, in units of about half a card; used only when light is fitted too
};

struct ColourFit {
  cv::Matx33d xyz_from_relative;  // of relative^tone
  double tone = 1.0;
  cv::Vec2d light_slope;       // of ln light along `at`; 0 unless fitted
  double residual_de00 = 0.0;  // mean CIEDE2000 of each pair foretold from the others
};

LabColour Foretell(const ColourFit& fit, const ColourPair& pair);

// Light that `relative` has been divided by already, or whose fall-off is to be found with the
// colours.
enum class LightIs { kUndone, kToBeFitted };

// start: XYZ from relative light under neutral balance. At least ten pairs (12 to fit light too).
ColourFit FitColour(const std::vector<ColourPair>& pairs, const cv::Matx33d& start, LightIs light);

}  // namespace ribwright::photo
