// SPDX-License-Identifier: Apache-2.0
#include "face/learned_fat.h"

#include <opencv2/imgproc.hpp>

#include "face/learned_map.h"

namespace ribwright::face {

FatMap MapFatLearned(const cv::Mat& rgb, const cv::Mat& mask) {
  const LearnedMaps maps = LearnedMap::Shared().Read(rgb);
  FatMap map;
  map.fraction = maps.fat_share.clone();
  map.fraction.setTo(0.0F, mask == 0);
  map.detected = (map.fraction >= 0.5F) & mask;
  map.unreadable = (maps.label == static_cast<int>(MapTissue::kGlare)) & mask;
  map.contrast = map.fraction.clone();
  return map;
}

}  // namespace ribwright::face
