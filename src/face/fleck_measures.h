// SPDX-License-Identifier: Apache-2.0
// Numbers of one muscle from its fat share a pixel: marbling, flecks, coarseness, evenness.
// Definitions are those of report/photo_report.h. All but marbling need a scale.
#pragma once

#include <opencv2/core.hpp>
#include <optional>
#include <string>

#include "report/photo_report.h"

namespace ribwright::face {

struct FleckInput {
  const cv::Mat& fraction;    // CV_32F 0..1
  const cv::Mat& detected;    // CV_8U majority fat
  const cv::Mat& unreadable;  // CV_8U
  const cv::Mat& muscle;      // CV_8U
  std::optional<double> px_per_mm;
  double length_relative_sd = 0.0;
};

// Percent of the readable muscle that is fat, with no interval.
double MarblingPct(const FleckInput& in);

// Fills area, marbling_pct, flecks and the rest of `muscle` (not its name or outline).
void MeasureFlecks(const FleckInput& whole, report::Muscle& muscle);

// The interval round a marbling share: `assumed` spread until phantoms have set it.
Measured MarblingWithDoubt(double pct, double unreadable_share);

// An area of `pixels` canvas pixels in cm2, its interval from the scale's doubt and the outline's.
Measured AreaCm2(double pixels, std::optional<double> px_per_mm, double length_relative_sd,
                 double outline_relative_sd);

}  // namespace ribwright::face
