// SPDX-License-Identifier: Apache-2.0
// Area and shape of an outline (closed rings, even-odd: rings wound either way, holes inside).
//
// AxisRatio = minor / major axis of the ellipse with the outline's second moments, 0..1; 1 for a
// circle. Unit-free, so it needs no scale; a photo taken at a slant changes it. Nothing for an
// outline without area. Holes are recognised by lying inside another ring.
#pragma once

#include <optional>

#include "report/photo_report.h"

namespace ribwright::grade {

double OutlineArea(const report::Outline& outline);  // square pixels
std::optional<double> AxisRatio(const report::Outline& outline);

}  // namespace ribwright::grade
