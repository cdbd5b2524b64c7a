// SPDX-License-Identifier: Apache-2.0
// Smooth random fields: a coarse grid of normals, enlarged by cubic interpolation. Mean about 0, standard
// deviation about 1 before interpolation (about 0.75 after). The same Rng gives the same field. CV_32F.
#pragma once

#include <opencv2/core/mat.hpp>

#include "math/rng.h"

namespace ribwright::phantom {

// `pitch_px`: distance of independent values, at least 1.
cv::Mat SmoothField(cv::Size size, double pitch_px, math::Rng rng);
// Different pitches along and across a direction (radians, image axes).
cv::Mat StretchedField(cv::Size size, double along_px, double across_px, double angle, math::Rng rng);
// A few octaves, each half the pitch and `fall` times the strength of the one before.
cv::Mat OctaveField(cv::Size size, double pitch_px, int octaves, double fall, math::Rng rng);

}  // namespace ribwright::phantom
