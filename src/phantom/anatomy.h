// SPDX-License-Identifier: Apache-2.0
// Plan: the anatomy of one cut face as closed curves in millimetres, before it becomes a raster.
//
// Frame: origin at the eye's middle, x towards the tail (the far end), y down; up is the cover side
// (dorsal), left the chine. Muscles are painted in order, a later one over an earlier one; what
// lies inside the outer edge and in no muscle and no bone is fat (seam or cover). The outer edge is
// the muscles' closed union grown by `margin_mm` (by direction from the origin), then cut by
// straight knife lines. Published facts that shape it: muscles present by rib (spinalis to 9-10,
// complexus to 7, rhomboideus at or ahead of 7), eye areas 55-118 cm2, the eye flatter towards the
// loin (Reuter et al. 2002; Yamashita et al. 2015; Nakahashi et al. 2007). All other proportions:
// `memory` of cut faces and `assumed`.
#pragma once

#include <array>
#include <cstddef>
#include <opencv2/core/types.hpp>
#include <vector>

#include "phantom/recipe.h"
#include "report/photo_report.h"

namespace ribwright::phantom {

using MmRing = std::vector<cv::Point2d>;

struct MuscleShape {
  report::MuscleName name = report::MuscleName::kOther;
  MmRing ring;
  double seam_mm = 0.8;          // typical half width of the seam it leaves free
  double marbling_factor = 1.0;  // its marbling over the eye's
  double fibre_angle = 0.0;      // rad, main direction of its flecks
};

struct KnifeLine {  // keeps points with normal . p <= offset
  cv::Point2d normal;
  double offset = 0.0;
};

struct Plan {
  std::vector<MuscleShape> muscles;
  std::vector<MmRing> bones;
  std::size_t eye = 0;  // index into muscles
  static constexpr int kDirections = 72;
  std::array<double, kDirections>
      margin_mm{};  // by angle from +x, counter-clockwise as seen (y up)
  std::vector<KnifeLine> knife;
};

Plan DrawPlan(const Recipe& recipe);

}  // namespace ribwright::phantom
