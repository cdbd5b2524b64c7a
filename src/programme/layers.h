// SPDX-License-Identifier: Apache-2.0
// What was seen in a photo as see-through layers to lay over it one by one: fat, muscles, the
// cover's ruler, glare.
//
// All lie on the grid of the upright photo, scaled down so that its longer side has at most
// kLayerSide pixels (never up); LayerScale() is that factor. Opacity follows the share of a layer
// pixel that the tissue covers, in kLayerSteps steps, so that fine flecks stay fine.
//   fat      fat inside a muscle and other fat, in the palette's two colours
//   muscles  each muscle filled in its own colour, by name
//   cover    its thickness as a ruler of lines square to the face's edge (cover_ruler.h)
//   glare    what could not be read
// Deterministic, thread-safe.
#pragma once

#include <cstdint>
#include <opencv2/core/mat.hpp>
#include <vector>

#include "base/result.h"
#include "report/photo_report.h"

namespace ribwright::programme {

inline constexpr int kLayerSide = 2048;
inline constexpr int kLayerSteps = 15;

double LayerScale(cv::Size photo);

// The upright photo on the layers' grid.
cv::Mat LayerPicture(const cv::Mat& rgb);

struct Layers {
  std::vector<std::uint8_t> fat;  // PNG
  std::vector<std::uint8_t> muscles;
  std::vector<std::uint8_t> cover;
  std::vector<std::uint8_t> glare;
};

// `tissue`: CV_8U, report::Tissue, the photo's grid, not empty. kInternal: no memory.
Result<Layers> DrawLayers(const cv::Mat& tissue, const report::PhotoReport& report);

}  // namespace ribwright::programme
