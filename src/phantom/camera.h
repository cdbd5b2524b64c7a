// SPDX-License-Identifier: Apache-2.0
// Camera: a pinhole over a board. World: millimetres, the board is z = 0, z up, x right and y down
// as seen from above (a left-handed frame, so that pictures are not mirrored).
//
// A photo pixel (u, v), centre of the first at (0.5, 0.5), sees world point p when
//   (u, v) = middle + focal_px * (c.x, c.y) / c.z,   c = rotation * (p - position).
// focal_px = focal_35mm * diagonal_px / 43.267 mm (the diagonal of a 36 x 24 mm frame; CIPA DCG-001
// defines the 35 mm equivalent by equal diagonal angle of view). The principal point `middle` is
// the middle of the photo, unless only a window of it was kept.
#pragma once

#include <opencv2/core.hpp>
#include <opencv2/core/types.hpp>
#include <vector>

#include "phantom/recipe.h"

namespace ribwright::phantom {

inline constexpr double kFrameDiagonalMm = 43.26661530556787;  // sqrt(36^2 + 24^2)

struct Camera {
  cv::Matx33d rotation;
  cv::Vec3d position;
  double focal_px = 1000.0;
  cv::Size size;
  cv::Point2d middle;

  cv::Point2d PxFromWorld(const cv::Vec3d& p) const;
  // Homography from the plane z = height, millimetres (x, y), to photo pixels.
  cv::Matx33d PxFromPlane(double height_mm) const;
};

// Camera axes from world axes; row 2 is the viewing direction.
cv::Matx33d CameraRotation(const Recipe& recipe);

// Aims at `aim` so that the face's plane there shows recipe.px_per_mm (geometric mean over
// directions) and all `scene` points are in the frame with the recipe's margin.
Camera PlaceCamera(const Recipe& recipe, const cv::Vec3d& aim, const std::vector<cv::Vec3d>& scene);

}  // namespace ribwright::phantom
