// SPDX-License-Identifier: Apache-2.0
// The overlay: the photo with what was taken as marbling, other fat, bone and unreadable painted
// over it, the face and its muscles outlined and named, and a legend with a scale bar underneath.
//
// The photo keeps its pixel grid (its upper left corner is the overlay's) up to 12 megapixels;
// larger ones are scaled down to that. The legend strip is added below the photo. The scale bar
// holds in the plane of the largest face at its middle; without a scale there is none.
// Deterministic; about 0.1 s for 12 megapixels. Thread-safe on different photos.
#pragma once

#include <opencv2/core/mat.hpp>

#include "report/photo_report.h"
#include "units/format.h"

namespace ribwright::programme {

inline constexpr double kOverlayMaxPixels = 12.5e6;  // a 4032 x 3024 phone photo is left as it is

struct OverlayOptions {
  units::System units = units::System::kMetric;
  bool legend = true;
  double max_pixels = kOverlayMaxPixels;
};

// rgb CV_8UC3, tissue CV_8U of the same size (report::Tissue). Returns CV_8UC3, R G B.
cv::Mat DrawOverlay(const cv::Mat& rgb, const cv::Mat& tissue, const report::PhotoReport& report,
                    const OverlayOptions& options = {});

}  // namespace ribwright::programme
