// SPDX-License-Identifier: Apache-2.0
#include "phantom/ground.h"

#include <algorithm>
#include <cmath>

#include "math/rng.h"
#include "phantom/field.h"
#include "phantom/paint_colour.h"
#include "phantom/surface.h"

namespace ribwright::phantom {
namespace {

using math::Rng;

cv::Vec3f Paint(double L, double a, double b) {
  const cv::Vec3d v = LinearFromLab({L, a, b});
  return {static_cast<float>(v[0]), static_cast<float>(v[1]), static_cast<float>(v[2])};
}

struct Look {
  cv::Vec3f base, other;
  float slow = 0.03F, fine = 0.02F;    // relative contrasts
  double along_mm = 0, across_mm = 0;  // streaks; 0: none
  float streak = 0.0F;                 // towards `other`
  float lines = 0.0F;                  // knife scratches
};

Look LookOf(GroundKind kind, Rng& rng) {
  Look k;
  switch (kind) {
    case GroundKind::kWood: {
      const double L = rng.Uniform(38, 74);
      k.base = Paint(L, rng.Uniform(5, 11), rng.Uniform(16, 28));
      k.other = Paint(L - rng.Uniform(10, 20), rng.Uniform(8, 14), rng.Uniform(16, 28));
      k.along_mm = 160;
      k.across_mm = rng.Uniform(2.0, 6.0);
      k.streak = 0.5F;
      k.slow = 0.08F;
      k.fine = 0.05F;
      k.lines = 0.04F;
      break;
    }
    case GroundKind::kSteel:
      k.base = Paint(rng.Uniform(55, 78), 0, rng.Uniform(-2, 2));
      k.other = Paint(rng.Uniform(80, 92), 0, 0);
      k.along_mm = 120;
      k.across_mm = 0.5;
      k.streak = 0.18F;
      k.slow = 0.22F;
      break;
    case GroundKind::kWhiteBoard:
      k.base = Paint(rng.Uniform(84, 95), rng.Uniform(-1, 1), rng.Uniform(-1, 5));
      k.other = k.base * 0.8F;
      k.lines = 0.06F;
      break;
    case GroundKind::kPaper: {
      const bool pink = rng.Chance(0.5);
      k.base = pink ? Paint(rng.Uniform(72, 82), rng.Uniform(6, 12), rng.Uniform(10, 16))
                    : Paint(rng.Uniform(62, 74), rng.Uniform(5, 9), rng.Uniform(18, 26));
      k.other = k.base * 0.9F;
      k.slow = 0.07F;
      k.fine = 0.05F;
      break;
    }
    case GroundKind::kBlackTray:
      k.base = Paint(rng.Uniform(8, 18), 0, rng.Uniform(-2, 1));
      k.other = Paint(30, 0, 0);
      k.slow = 0.2F;
      break;
    case GroundKind::kBlueBoard:
      k.base = Paint(rng.Uniform(35, 55), rng.Uniform(-8, 2), rng.Uniform(-40, -22));
      k.other = k.base * 0.8F;
      k.lines = 0.08F;
      break;
    case GroundKind::kDarkBoard:
      k.base = Paint(rng.Uniform(18, 32), rng.Uniform(0, 4), rng.Uniform(0, 8));
      k.other = k.base * 0.6F;
      k.along_mm = 140;
      k.across_mm = 4;
      k.streak = 0.4F;
      k.slow = 0.1F;
      k.fine = 0.08F;
      break;
    case GroundKind::kPureWhite:
      k.base = k.other = {0.9F, 0.9F, 0.9F};
      k.slow = k.fine = 0;
      break;
    case GroundKind::kPureBlack:
      k.base = k.other = {0, 0, 0};
      k.slow = k.fine = 0;
      break;
  }
  return k;
}

}  // namespace

cv::Mat PaintGround(cv::Size size, double px_per_mm, const Recipe& recipe) {
  const Rng root = Rng(recipe.seed).Fork(700);
  Rng rng = root.Fork(1);
  const Look look = LookOf(recipe.ground, rng);
  const double s = px_per_mm;
  const double angle = rng.Uniform(0, 3.14);
  const double step = std::max(1.0, 2.0 * s);  // slow shades at 0.5 px/mm
  SlowRows slow_rows(OctaveField(CoarseSize(size, step), 60.0 * s / step, 3, 0.5, root.Fork(2)),
                     step, size);
  const cv::Mat fine = SmoothField(size, std::max(1.0, 0.4 * s), root.Fork(3));
  cv::Mat streaks, scratches;
  if (look.streak > 0) {
    streaks = StretchedField(size, look.along_mm * s, look.across_mm * s, angle, root.Fork(4)) +
              0.6 * StretchedField(size, 0.5 * look.along_mm * s, 0.35 * look.across_mm * s, angle,
                                   root.Fork(5));
  }
  if (look.lines > 0) {
    scratches = cv::abs(
        StretchedField(size, 50.0 * s, 2.5 * s, angle + rng.Uniform(-0.5, 0.5), root.Fork(6)));
  }
  cv::Mat out(size, CV_16UC3);
  for (int y = 0; y < size.height; ++y) {
    auto* row = out.ptr<cv::Vec<std::uint16_t, 3>>(y);
    const float* slow = slow_rows.Row(y);
    for (int x = 0; x < size.width; ++x) {
      cv::Vec3f c = look.base;
      if (!streaks.empty())
        c += (look.other - look.base) *
             std::clamp(0.5F + look.streak * streaks.at<float>(y, x), 0.0F, 1.0F);
      float v = 1.0F + look.slow * slow[x] + look.fine * fine.at<float>(y, x);
      if (!scratches.empty())
        v -= look.lines * std::max(0.0F, 1.0F - 14.0F * scratches.at<float>(y, x));
      for (int k = 0; k < 3; ++k)
        row[x][k] = cv::saturate_cast<std::uint16_t>(c[k] * v * static_cast<float>(kUnit));
    }
  }
  return out;
}

}  // namespace ribwright::phantom
