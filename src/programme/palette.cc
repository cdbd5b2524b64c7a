// SPDX-License-Identifier: Apache-2.0
#include "programme/palette.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "photo/srgb.h"

namespace ribwright::programme {
namespace {

using report::Tissue;

const std::array<TissuePaint, 4> kPaints = {{
    {Tissue::kMuscleFat, "fat inside a muscle (marbling)", {70, 235, 255}, 0.90},
    {Tissue::kOtherFat, "other fat (cover, seam)", {235, 170, 40}, 0.70},
    {Tissue::kBone, "bone", {16, 8, 70}, 0.80},
    {Tissue::kUnreadable, "not readable (glare, shadow)", {120, 85, 235}, 0.85},
}};

cv::Matx33d MatrixOf(Sight sight) {
  switch (sight) {
    case Sight::kProtanope:
      return {0.152286, 1.052583,  -0.204868, 0.114503, 0.786281,
              0.099216, -0.003882, -0.048116, 1.051998};
    case Sight::kDeuteranope:
      return {0.367322, 0.860646,  -0.227968, 0.280085, 0.672501,
              0.047413, -0.011820, 0.042940,  0.968881};
    case Sight::kTritanope:
      return {1.255528, -0.076749, -0.178779, -0.078411, 0.930809,
              0.147602, 0.004733,  0.691367,  0.303900};
    case Sight::kUsual:
      break;
  }
  return cv::Matx33d::eye();
}

}  // namespace

std::span<const TissuePaint> TissuePaints() { return kPaints; }

cv::Vec3b SeenBy(Sight sight, const cv::Vec3b& rgb) {
  cv::Vec3d linear;
  for (int i = 0; i < 3; ++i) linear[i] = photo::LinearFromSrgb(rgb[i] / 255.0);
  linear = MatrixOf(sight) * linear;
  cv::Vec3b seen;
  for (int i = 0; i < 3; ++i) {
    const double code = photo::SrgbFromLinear(std::clamp(linear[i], 0.0, 1.0));
    seen[i] = static_cast<std::uint8_t>(std::lround(255.0 * code));
  }
  return seen;
}

}  // namespace ribwright::programme
