// SPDX-License-Identifier: Apache-2.0
// Colours the renderer paints with: linear-light sRGB (0..1, may exceed) and CIE L*a*b* under D50,
// through photo/srgb.h, so that Lab truth and judged Lab speak of one thing. Paint out of gamut is
// clipped at 0.001.
#pragma once

#include <opencv2/core.hpp>

namespace ribwright::phantom {

struct PaintLab {
  double L = 0.0;
  double a = 0.0;
  double b = 0.0;
};

cv::Vec3d LinearFromLab(const PaintLab& lab);
PaintLab LabFromLinear(const cv::Vec3d& rgb);
// One sRGB channel, 0..1 both sides.
double LinearFromSrgb(double encoded);
double SrgbFromLinear(double linear);

}  // namespace ribwright::phantom
