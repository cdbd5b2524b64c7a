// SPDX-License-Identifier: Apache-2.0
#include "phantom/paint_colour.h"

#include <algorithm>

#include "photo/srgb.h"

namespace ribwright::phantom {

cv::Vec3d LinearFromLab(const PaintLab& lab) {
  cv::Vec3d rgb = photo::LinearSrgbFromXyz() * photo::XyzFromLab({lab.L, lab.a, lab.b});
  // Reds of wet meat may leave the gamut a little; paint cannot be negative.
  for (int i = 0; i < 3; ++i) rgb[i] = std::max(rgb[i], 0.001);
  return rgb;
}

PaintLab LabFromLinear(const cv::Vec3d& rgb) {
  const photo::LabColour lab = photo::LabFromXyz(photo::XyzFromLinearSrgb() * rgb);
  return {lab.L, lab.a, lab.b};
}

double LinearFromSrgb(double encoded) { return photo::LinearFromSrgb(encoded); }
double SrgbFromLinear(double linear) { return photo::SrgbFromLinear(linear); }

}  // namespace ribwright::phantom
