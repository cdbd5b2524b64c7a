// SPDX-License-Identifier: Apache-2.0
// The card's markers in a grey picture, with corners measured to a small part of a pixel.
//
// Corners come in the order of the card's own: upper left, upper right, lower right, lower left as
// printed; pixel coordinates with the first pixel's centre at (0.5, 0.5).
#pragma once

#include <array>
#include <opencv2/core/mat.hpp>
#include <optional>
#include <vector>

namespace ribwright::photo {

using Corners = std::array<cv::Point2d, 4>;

struct Marker {
  int id = 0;
  Corners corners;
};

// Only ids of the card. `shrink` >= 1: the picture is reduced by it before the search; corners are
// in pixels of `grey`, good to about `shrink` pixels.
std::vector<Marker> DetectMarkers(const cv::Mat& grey, double shrink, int threads);

// nullopt when an edge of the black square is hidden or too blurred to place.
std::optional<Corners> RefineCorners(const cv::Mat& grey, const Corners& rough);

}  // namespace ribwright::photo
