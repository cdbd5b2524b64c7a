// SPDX-License-Identifier: Apache-2.0
#include "phantom/membrane.h"

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "math/rng.h"
#include "phantom/field.h"

namespace ribwright::phantom {
namespace {

using math::Rng;

cv::Mat OwnPixels(const FaceRaster& face, std::size_t muscle) {
  return face.label(face.muscles[muscle].box) == static_cast<int>(kFirstMuscle + muscle);
}

}  // namespace

void BiteFlecks(FaceRaster& face, const Recipe& recipe) {
  if (recipe.jag_mm <= 0) return;
  const Rng rng = Rng(recipe.seed).Fork(450);
  const double s = face.px_per_mm;
  for (std::size_t i = 0; i < face.muscles.size(); ++i) {
    const RasterMuscle& muscle = face.muscles[i];
    if (muscle.pixels == 0) continue;
    const cv::Mat inside = OwnPixels(face, i);
    const cv::Mat shift =
        StretchedField(inside.size(), 2.2 * s, 0.5 * s, muscle.fibre_angle, rng.Fork(i));
    const auto along_x = static_cast<float>(recipe.jag_mm * s * std::cos(muscle.fibre_angle));
    const auto along_y = static_cast<float>(recipe.jag_mm * s * std::sin(muscle.fibre_angle));
    cv::Mat from(inside.size(), CV_32FC2);
    for (int y = 0; y < from.rows; ++y) {
      auto* to = from.ptr<cv::Vec2f>(y);
      const float* d = shift.ptr<float>(y);
      for (int x = 0; x < from.cols; ++x) {
        to[x] = {static_cast<float>(x) + along_x * d[x], static_cast<float>(y) + along_y * d[x]};
      }
    }
    cv::Mat whole = face.fat(muscle.box);
    cv::Mat own(inside.size(), CV_8U, cv::Scalar(0));
    whole.copyTo(own, inside);
    cv::Mat bitten;
    cv::remap(own, bitten, from, {}, cv::INTER_LINEAR, cv::BORDER_CONSTANT, cv::Scalar(0));
    bitten.copyTo(whole, inside);
  }
}

void DrawSilverskin(FaceRaster& face, const Recipe& recipe) {
  if (recipe.silverskin <= 0) return;
  Rng rng = Rng(recipe.seed).Fork(460);
  for (std::size_t i = 0; i < face.muscles.size(); ++i) {
    const RasterMuscle& muscle = face.muscles[i];
    const double widest_mm = rng.Uniform(0.6, 3.0);
    if (muscle.pixels == 0) continue;
    const cv::Mat inside = OwnPixels(face, i);
    cv::Mat bordered, depth;
    cv::copyMakeBorder(inside, bordered, 1, 1, 1, 1, cv::BORDER_CONSTANT, cv::Scalar(0));
    cv::distanceTransform(bordered, depth, cv::DIST_L2, 3);
    const double step = face.px_per_mm / 2.0;
    SlowRows where(OctaveField(CoarseSize(inside.size(), step), 24.0, 2, 0.6, rng.Fork(i)), step,
                   inside.size());
    // The field's standard deviation is about 0.8: this many of its values lie above.
    const double above = 0.8 * 1.6 * (0.5 - std::min(0.95, recipe.silverskin));
    cv::Mat line = face.line(muscle.box);
    for (int y = 0; y < inside.rows; ++y) {
      const float* w = where.Row(y);
      const float* d = depth.ptr<float>(y + 1) + 1;
      const std::uint8_t* in = inside.ptr<std::uint8_t>(y);
      std::uint8_t* out = line.ptr<std::uint8_t>(y);
      for (int x = 0; x < inside.cols; ++x) {
        if (in[x] == 0 || w[x] <= above) continue;
        const double width = widest_mm * face.px_per_mm * std::min(1.0, 1.2 * (w[x] - above));
        const double cover = std::clamp(width - d[x] + 0.5, 0.0, 1.0);
        out[x] = std::max(out[x], static_cast<std::uint8_t>(230.0 * cover));
      }
    }
  }
}

}  // namespace ribwright::phantom
