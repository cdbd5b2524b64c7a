// SPDX-License-Identifier: Apache-2.0
// Fat against lean on a canvas: how much of each pixel is fat, and which pixels are not readable.
//
// The ratio green / red in linear light does not change with the brightness of the light; it is
// about 0.1 to 0.35 on lean and 0.6 to 0.9 on fat. u = log(green) - log(red) is compared with the
// lean round it (a masked mean that leaves fat out), so colour may drift over the face. Sparks of
// wet glare are sharp, bluish and brighter than their surroundings: they are set aside before
// detection. Fat is what stands above the lean by a high step or touches such a place above a low
// step (hysteresis). For a pixel of fat share f whose ratio is r, with the ratios of lean r_l and
// fat r_f round it and k the ratio of red light that fat and lean send back,
//     f = (r - r_l) / ((r - r_l) + k (r_f - r)).
// Summed over a blurred fleck f keeps the fleck's area (blur moves light, it neither adds nor
// takes).
#pragma once

#include <opencv2/core.hpp>

namespace ribwright::face {

struct FatOptions {
  double spark_step = 12.0;  // 8-bit blue above its 5x5 median; assumed, tuned on photographs
  double surround =
      0.02;  // of the face's width (square root of its area): radius of the lean's mean
  double high_step = 0.30;  // of the span from lean's u to fat's; assumed, tuned
  double low_step = 0.20;
  double smooth_px = 1.0;
  double least_share = 8e-5;  // smallest fleck, of the face's area
};

struct FatMap {
  cv::Mat fraction;    // CV_32F 0..1, 0 outside the mask
  cv::Mat detected;    // CV_8U 0/255: majority fat (marbling, seam and cover alike)
  cv::Mat unreadable;  // CV_8U 0/255: glare, deep shadow
  cv::Mat contrast;    // CV_32F: u above the lean round it
  double lean_ratio = 0.0;
  double fat_ratio = 0.0;
  bool fat_seen = false;  // false: no thick fat; fat_ratio is assumed
};

// rgb CV_8UC3 canvas, mask CV_8U (meat).
FatMap MapFat(const cv::Mat& rgb, const cv::Mat& mask, const FatOptions& options);

}  // namespace ribwright::face
