// SPDX-License-Identifier: Apache-2.0
// Embedded colour profiles (ICC.1) to sRGB, by lcms2, relative colorimetric.
//
// A profile is used when it describes RGB light (or grey, on a grey picture). Any other, an ink
// profile in an RGB picture for one, says nothing about the pixels: they are then taken as sRGB,
// with a warning. A profile that maps a 9 x 9 x 9 grid of colours onto themselves within one code
// value is sRGB and costs nothing. Otherwise the picture is turned in bands on OpenCV's threads.
#pragma once

#include <array>
#include <cstdint>
#include <opencv2/core/mat.hpp>
#include <span>
#include <vector>

namespace ribwright::photo {

// x and y of white, red, green, blue.
using Chromaticities = std::array<double, 8>;

enum class ProfileOutcome { kSrgbAlready, kApplied, kUnusable };

// Turns `pixels` (CV_8UC3, CV_8UC4, CV_16UC3, CV_16UC4; alpha is kept) to sRGB in place where
// needed.
ProfileOutcome ApplyProfile(std::span<const std::uint8_t> icc, bool grey, cv::Mat& pixels);

// A profile of a display with these primaries and value^exponent as its curve; empty when
// impossible.
std::vector<std::uint8_t> ProfileFromGamma(double exponent, const Chromaticities& c);

}  // namespace ribwright::photo
