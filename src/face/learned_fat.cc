// SPDX-License-Identifier: Apache-2.0
#include "face/learned_fat.h"

#include <algorithm>
#include <opencv2/imgproc.hpp>
#include <utility>

#include "face/learned_map.h"

namespace ribwright::face {
namespace {

// Of the share; low, since on photographs the network finds less than is there (learned_map.md).
constexpr float kDetected = 0.15F;
constexpr double kRimPx = 16.0;      // a lit rim's reach on a canvas; assumed
constexpr float kSolidShare = 0.6F;  // mean share round a pixel of true cover; assumed

// How far a pixel's share counts as seen fat near the face's edge: light catches on the rim of a
// cut, and only solid fat there is cover. 1 inside, falling to 0 at the edge; a crop, all meat, has
// none.
cv::Mat RimWeight(const cv::Mat& share, const cv::Mat& mask) {
  if (cv::countNonZero(mask) == mask.rows * mask.cols) {
    return cv::Mat(mask.size(), CV_32F, cv::Scalar(1));
  }
  cv::Mat padded;
  cv::copyMakeBorder(mask, padded, 1, 1, 1, 1, cv::BORDER_CONSTANT, cv::Scalar(0));
  cv::Mat depth;
  cv::distanceTransform(padded, depth, cv::DIST_L2, 3);
  cv::Mat weight = depth(cv::Rect(1, 1, mask.cols, mask.rows)) / kRimPx;
  cv::min(weight, 1.0, weight);
  cv::Mat inside;
  mask.convertTo(inside, CV_32F, 1.0 / 255.0);
  cv::Mat mean;
  cv::Mat under;
  constexpr double kSigma = 6.0;
  cv::GaussianBlur(share, mean, cv::Size(), kSigma);
  cv::GaussianBlur(inside, under, cv::Size(), kSigma);
  mean /= cv::max(under, 1e-3);
  weight.setTo(1.0F, mean > kSolidShare);
  return weight;
}

}  // namespace

FatMap MapFatLearned(const cv::Mat& rgb, const cv::Mat& mask) {
  FatAndGlare maps = LearnedMap::Shared().ReadFat(rgb, mask);
  FatMap map;
  map.fraction = std::move(maps.fat_share);
  map.fraction.setTo(0.0F, mask == 0);
  map.detected = (map.fraction.mul(RimWeight(map.fraction, mask)) >= kDetected) & mask;
  map.unreadable = maps.glare & mask;
  map.contrast = map.fraction.clone();
  return map;
}

}  // namespace ribwright::face
