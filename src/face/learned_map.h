// SPDX-License-Identifier: Apache-2.0
// Learned map: what a small convolutional network, trained on drawn patches and phantoms alone,
// takes each pixel of a canvas for. It proposes; the geometric stage measures.
//
// The network sees R G B (sRGB codes) and gives nine scores a pixel: seven tissues, the share of
// the pixel that is fat, and how likely the border between two muscles runs there. The canvas is
// brought to a grid of whole tiles first (at most kTiles of them, enlarged at most kEnlarge times:
// small photos are read larger, large ones smaller), read tile by tile with a margin that is thrown
// away, and the maps are brought back to the canvas. Meant for 5 to 14 grid pixels a millimetre of
// meat; a face whose canvas fills about 1 MP lies there.
//
// Inputs: CV_8UC3 in R G B order, 1 x 1 to 100 MP; an empty picture is a programmer's error. There
// is no expected trouble. Outputs are numbers within 0..1, never NaN.
//
// Inference is OpenCV's dnn module on weights inside the binary (training/MODEL_CARD.md).
// Cost: see docs/science/learned_map.md; about 50 MB for each thread at work beside the maps' 13
// bytes a pixel. Thread-safe; the result depends neither on the number of threads nor on other
// calls.
#pragma once

#include <array>
#include <cstddef>
#include <memory>
#include <opencv2/core.hpp>
#include <string>

#include "face/network.h"

namespace ribwright::face {

enum class MapTissue {
  kOutside,
  kLean,
  kMuscleFat,  // fat inside a muscle
  kOtherFat,   // cover and seam
  kBone,
  kGlare,       // mirrored light outshines the meat
  kConnective,  // lines of connective tissue: lean where only report::Tissue is known
};
inline constexpr std::size_t kMapTissues = 7;

struct LearnedMaps {
  std::array<cv::Mat, kMapTissues> probability;  // CV_8U each, 255 = certain; sums to 255 +- 4
  cv::Mat label;                                 // CV_8U, MapTissue of the largest probability
  cv::Mat fat_share;              // CV_32F 0..1, share that is fat; means nothing on board
  cv::Mat seam;                   // CV_8U, 255 = a border between muscles for sure
  double grid_from_canvas = 1.0;  // scale at which the network saw the canvas

  const cv::Mat& Of(MapTissue tissue) const {
    return probability[static_cast<std::size_t>(tissue)];
  }
};

// What the face stage measures with; the other maps are for training and tests.
struct FatAndGlare {
  cv::Mat fat_share;  // CV_32F 0..1
  cv::Mat glare;      // CV_8U, 255 where glare is the likeliest tissue
};

class LearnedMap {
 public:
  static constexpr int kTile = 512;   // side of the network's input
  static constexpr int kMargin = 40;  // of each tile thrown away; assumed, past the fine layers
  static constexpr int kTiles = 6;    // most tiles a canvas; sets the time
  static constexpr double kEnlarge = 2.0;  // most that a small photo is enlarged
  // The share score p (0..1) becomes a share by (p - kNoFat) / (kAllFat - kNoFat), 0 below and 1
  // above: doubt about lean is no fat. Chosen on 157 phantom eyes (docs/science/learned_map.md).
  static constexpr double kNoFat = 0.05;
  static constexpr double kAllFat = 0.90;

  LearnedMap();
  ~LearnedMap();
  LearnedMap(const LearnedMap&) = delete;
  LearnedMap& operator=(const LearnedMap&) = delete;

  // The one that the program shares: the weights are unpacked once.
  static const LearnedMap& Shared();

  LearnedMaps Read(const cv::Mat& rgb) const;

  // The two maps alone, in less time. Tiles without a pixel of `mask` (CV_8U, the size of rgb) are
  // not read: share 0 and no glare there.
  FatAndGlare ReadFat(const cv::Mat& rgb, const cv::Mat& mask) const;

  // The network's bare answer to one tile, kTile x kTile CV_8UC3: 9 x kTile x kTile CV_32F, before
  // softmax and logistic function. For tests against the trainer's own arithmetic.
  cv::Mat Scores(const cv::Mat& tile) const;

  // Fingerprint of the weights, for reports: 16 hexadecimal digits (FNV-1a, 64 bit).
  static const std::string& Revision();

 private:
  std::unique_ptr<Network> network_;
};

}  // namespace ribwright::face
