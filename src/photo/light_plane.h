// SPDX-License-Identifier: Apache-2.0
// A robust plane through ln of light readings over the photo: ln light = c0 + c1 u + c2 v with u, v
// the distance from the readings' middle in units of their extent. Weights are Tukey's biweight on
// residuals over 4.685 robust standard deviations (Beaton & Tukey 1974), sd at least 0.5 %, so that
// stains and shadows, which darken, do not pull it.
#pragma once

#include <opencv2/core/matx.hpp>
#include <optional>
#include <span>
#include <vector>

#include "photo/colour_reference.h"

namespace ribwright::photo {

struct LightPlane {
  double centre_x = 0.0;
  double centre_y = 0.0;
  double length = 1.0;
  cv::Vec3d coefficients;
  cv::Matx33d covariance;
  double residual_sd = 0.0;
  std::vector<double> weights;  // one a reading, 0..1

  double LogAt(double x, double y) const;
  double VarianceAt(double x, double y) const;  // of LogAt, from the fit alone
};

// nullopt with fewer than six readings, or when they lie on a line.
std::optional<LightPlane> FitLightPlane(std::span<const LightReading> readings);

}  // namespace ribwright::photo
