// SPDX-License-Identifier: Apache-2.0
// Fat against lean from the learned map: the share of each pixel that is fat, what is majority fat,
// and what mirrored light or darkness hides. Same meaning as MapFat's answer (fat_map.h); the
// network has seen glare, sheen and connective lines on phantoms, which colour rules cannot tell.
#pragma once

#include <opencv2/core.hpp>

#include "face/fat_map.h"

namespace ribwright::face {

// rgb CV_8UC3 canvas, mask CV_8U (meat).
FatMap MapFatLearned(const cv::Mat& rgb, const cv::Mat& mask);

}  // namespace ribwright::face
