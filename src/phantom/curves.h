// SPDX-License-Identifier: Apache-2.0
// Closed curves in millimetres for anatomy: smooth loops through landmarks, and bands that follow a
// loop. Angles are degrees from +x, counter-clockwise as a viewer sees it (image y points down).
#pragma once

#include <functional>
#include <opencv2/core/types.hpp>
#include <vector>

#include "math/rng.h"

namespace ribwright::phantom {

using MmRing = std::vector<cv::Point2d>;

struct Oval {
  cv::Point2d centre;
  double semi_long = 10;
  double semi_short = 6;
  double turn_deg = 0;      // of the long axis
  double squareness = 2;    // exponent of the superellipse: 2 ellipse, more: boxier
  double irregular = 0.05;  // relative spread of the landmarks' radii
};
// 160 points, counter-clockwise as seen.
MmRing OvalRing(const Oval& oval, math::Rng& rng);

// Where the ray from `centre` at `angle_deg` leaves the ring, in mm from the centre (largest
// crossing).
double RadiusAt(const MmRing& ring, cv::Point2d centre, double angle_deg);
cv::Point2d AtAngle(cv::Point2d centre, double radius, double angle_deg);

// The band outside `base` from angle_from to angle_to (angle_from > angle_to runs clockwise, as
// seen), its inner side inner(u) and outer side outer(u) mm beyond the base, u = 0..1 along it.
MmRing Band(const MmRing& base, cv::Point2d centre, double angle_from, double angle_to,
            const std::function<double(double)>& inner, const std::function<double(double)>& outer);

}  // namespace ribwright::phantom
