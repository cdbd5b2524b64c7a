// SPDX-License-Identifier: Apache-2.0
// Looks of a surface that only some recipes ask for, read a row at a time: light and dark of fibre
// bundles, thin pink threads in the fat, a brown crust. What a recipe leaves at 0 costs nothing.
#pragma once

#include <algorithm>
#include <cmath>
#include <opencv2/core.hpp>
#include <optional>

#include "math/rng.h"
#include "phantom/field.h"
#include "phantom/recipe.h"

namespace ribwright::phantom {

class SurfaceExtras {
 public:
  // `angle`: of the fibres, radians.
  SurfaceExtras(cv::Size size, double px_per_mm, double angle, const Recipe& r,
                const math::Rng& rng)
      : fibre_(static_cast<float>(r.fibre)), fat_lines_(static_cast<float>(0.4 * r.fat_lines)) {
    const double s = px_per_mm;
    if (fibre_ > 0) bundles_ = StretchedField(size, 5.0 * s, 0.5 * s, angle, rng.Fork(1));
    if (fat_lines_ > 0) {
      threads_ = StretchedField(size, 9.0 * s, 2.2 * s, rng.Fork(2).Uniform(0, 3.14), rng.Fork(3));
    }
    if (r.sear > 0) {
      const double step = std::max(1.0, s / 3.0);
      crust_.emplace(OctaveField(CoarseSize(size, step), 14.0 * s / step, 4, 0.65, rng.Fork(4)),
                     step, size);
      sear_from_ = static_cast<float>(1.8 * (0.5 - r.sear));
    }
  }
  void Row(int y) {
    if (!bundles_.empty()) bundle_ = bundles_.ptr<float>(y);
    if (!threads_.empty()) thread_ = threads_.ptr<float>(y);
    if (crust_) brown_ = crust_->Row(y);
  }
  // Of the row: a factor on lean; the share of pink in fat; the share of crust.
  float Bundle(int x) const { return bundle_ != nullptr ? 1.0F + fibre_ * bundle_[x] : 1.0F; }
  float Thread(int x) const {
    return thread_ != nullptr ? fat_lines_ * std::max(0.0F, 1.0F - 11.0F * std::abs(thread_[x]))
                              : 0.0F;
  }
  float Crust(int x) const {
    return brown_ != nullptr ? std::clamp(1.4F * (brown_[x] - sear_from_), 0.0F, 0.95F) : 0.0F;
  }

 private:
  cv::Mat bundles_, threads_;
  std::optional<SlowRows> crust_;
  float fibre_, fat_lines_;
  float sear_from_ = 0.0F;
  const float* bundle_ = nullptr;
  const float* thread_ = nullptr;
  const float* brown_ = nullptr;
};

}  // namespace ribwright::phantom
