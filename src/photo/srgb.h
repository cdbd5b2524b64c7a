// SPDX-License-Identifier: Apache-2.0
// Colour: sRGB code values <-> linear light <-> CIE XYZ (D50) <-> CIE L*a*b* (D50), 2 degree
// observer.
//
// Curve (IEC 61966-2-1), code c and linear light l in 0..1:
//   l = c / 12.92                       c <= 0.04045
//   l = ((c + 0.055) / 1.055)^2.4       above
// continued to negative values as an odd function, so that colours outside the gamut survive; no
// clamp. XYZ: sRGB's primaries and D65 white (x 0.3127, y 0.3290), adapted to the profile
// connection space's D50 white (ICC.1: X 0.9642, Y 1, Z 0.8249) by the linear Bradford transform. Y
// of sRGB white is 1. L*a*b* (CIE 15): f(t) = t^(1/3) for t > (6/29)^3, else t / (3 (6/29)^2) +
// 4/29;
//   L = 116 f(Y/Yn) - 16, a = 500 (f(X/Xn) - f(Y/Yn)), b = 200 (f(Y/Yn) - f(Z/Zn)).
// All functions are exact to rounding, thread-safe, and finite for finite input.
#pragma once

#include <array>
#include <opencv2/core/matx.hpp>

namespace ribwright::photo {

// CIE L*a*b*, D50. L 0..100 for surfaces.
struct LabColour {
  double L = 0.0;
  double a = 0.0;
  double b = 0.0;
};

double LinearFromSrgb(double code);    // 0..1
double SrgbFromLinear(double linear);  // 0..1
// LinearFromSrgb(i / 255.0) for the 256 codes of an 8-bit picture.
const std::array<float, 256>& LinearFromCode();

cv::Vec3d WhiteD50();
// Columns are the XYZ (D50) of the red, green and blue primaries at full light.
const cv::Matx33d& XyzFromLinearSrgb();
const cv::Matx33d& LinearSrgbFromXyz();

LabColour LabFromXyz(const cv::Vec3d& xyz);
cv::Vec3d XyzFromLab(const LabColour& lab);
// Of 8-bit sRGB codes R, G, B.
LabColour LabFromSrgb(const cv::Vec3b& rgb);

}  // namespace ribwright::photo
