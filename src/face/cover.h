// SPDX-License-Identifier: Apache-2.0
// Cover: thickness of the outside fat, measured square to the outer edge of the face, from the edge
// to the first muscle. A place counts as covered where 0.5 to 30 mm of fat lie between edge and
// muscle.
#pragma once

#include <opencv2/core.hpp>
#include <optional>

#include "report/photo_report.h"

namespace ribwright::face {

// mask, muscles (CV_8U, union of muscles), eye (CV_8U) on the canvas.
report::Cover MeasureCover(const cv::Mat& mask, const cv::Mat& muscles, const cv::Mat& eye,
                           std::optional<double> px_per_mm, double length_relative_sd);

}  // namespace ribwright::face
