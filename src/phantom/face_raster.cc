// SPDX-License-Identifier: Apache-2.0
#include "phantom/face_raster.h"

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "base/check.h"
#include "math/rng.h"
#include "phantom/field.h"

namespace ribwright::phantom {
namespace {

constexpr double kCoarse = 4.5;     // px/mm of the distance fields; they are smooth at 0.45 mm
constexpr double kBorderMm = 32.0;  // room for cover round the muscles
constexpr double kLeastMuscleMm2 = 40.0;
constexpr double kPi = 3.14159265358979323846;

// Positive inside, in mm, smoothed a little so that the finer grid gets a clean edge.
cv::Mat SignedDistance(const cv::Mat& mask, double smooth_mm) {
  cv::Mat inside, outside, other;
  cv::distanceTransform(mask, inside, cv::DIST_L2, 5);
  cv::bitwise_not(mask, other);
  cv::distanceTransform(other, outside, cv::DIST_L2, 5);
  cv::Mat signed_mm = (inside - outside) / kCoarse;
  cv::GaussianBlur(signed_mm, signed_mm, {}, smooth_mm * kCoarse);
  return signed_mm;
}

std::vector<cv::Point> OnGrid(const MmRing& ring, cv::Point2d origin) {
  std::vector<cv::Point> points;
  points.reserve(ring.size());
  constexpr int kShift = 6;
  for (const cv::Point2d& p : ring) {
    points.emplace_back(cvRound(((p.x - origin.x) * kCoarse - 0.5) * (1 << kShift)),
                        cvRound(((p.y - origin.y) * kCoarse - 0.5) * (1 << kShift)));
  }
  return points;
}

void Paint(cv::Mat& target, const MmRing& ring, cv::Point2d origin, int value) {
  const std::vector<std::vector<cv::Point>> rings{OnGrid(ring, origin)};
  cv::fillPoly(target, rings, cv::Scalar(value), cv::LINE_8, 6);
}

// Sets `label` to `value` where the coarse field is positive and the label is at least `over`; only
// inside `window` of the fine grid, whose corner lies offset_mm from the coarse grid's.
void SetWhere(const cv::Mat& coarse, double px_per_mm, cv::Point2d offset_mm, cv::Rect window,
              std::uint8_t over, std::uint8_t value, cv::Mat& label) {
  // Pixel centres aligned.
  const double step = px_per_mm / kCoarse;
  const cv::Point2d from(offset_mm.x * kCoarse + (window.x + 0.5) / step - 0.5,
                         offset_mm.y * kCoarse + (window.y + 0.5) / step - 0.5);
  SlowRows rows(coarse, step, window.size(), from);
  for (int y = 0; y < window.height; ++y) {
    const float* field = rows.Row(y);
    std::uint8_t* out = label.ptr<std::uint8_t>(window.y + y) + window.x;
    for (int x = 0; x < window.width; ++x) {
      if (field[x] > 0.0F && out[x] >= over) out[x] = value;
    }
  }
}

struct Coarse {
  cv::Point2d origin;
  cv::Size size;
  cv::Mat outer;                // signed distance to the face's edge, mm
  std::vector<cv::Mat> muscle;  // signed distance to each muscle's edge, seams taken off
  cv::Mat bone;                 // empty without bone
};

cv::Mat OuterField(const Plan& plan, const cv::Mat& owner, const cv::Mat& bone_mask,
                   cv::Point2d origin, math::Rng rng) {
  cv::Mat all = (owner > 0) | bone_mask;
  // Hollows that a disc of this radius cannot enter are filled with fat.
  const double fill_mm = rng.Fork(1).Uniform(25, 60);
  constexpr double kThird = 1.0 / 3.0;  // a coarser grid does for that
  const double reach = fill_mm * kCoarse * kThird;
  const int room = static_cast<int>(reach) + 2;
  cv::Mat free, distance;
  cv::resize(all, free, {}, kThird, kThird, cv::INTER_AREA);
  const cv::Rect middle(cv::Point(room, room), free.size());
  cv::copyMakeBorder(free, free, room, room, room, room, cv::BORDER_CONSTANT, cv::Scalar(0));
  cv::distanceTransform(free < 128, distance, cv::DIST_L2, 5);
  cv::distanceTransform(distance < reach, distance, cv::DIST_L2, 5);
  cv::resize(cv::Mat(distance(middle) - reach), distance, all.size(), 0, 0, cv::INTER_LINEAR);
  all |= distance > 0;
  cv::Mat field = SignedDistance(all, 1.2);
  const cv::Mat wave = SmoothField(field.size(), 7.0 * kCoarse, rng);
  for (int y = 0; y < field.rows; ++y) {
    float* row = field.ptr<float>(y);
    const float* w = wave.ptr<float>(y);
    for (int x = 0; x < field.cols; ++x) {
      const cv::Point2d p(origin.x + (x + 0.5) / kCoarse, origin.y + (y + 0.5) / kCoarse);
      const double turns = std::atan2(-p.y, p.x) / (2 * kPi) + 1.0;
      const double at = turns * Plan::kDirections;
      const int k = static_cast<int>(at);
      const double f = at - k;
      const double margin =
          plan.margin_mm[static_cast<std::size_t>(k % Plan::kDirections)] * (1 - f) +
          plan.margin_mm[static_cast<std::size_t>((k + 1) % Plan::kDirections)] * f;
      double v = row[x] + margin + 0.35 * w[x];
      for (const KnifeLine& cut : plan.knife)
        v = std::min(v, cut.offset - p.dot(cut.normal) + 0.15 * w[x]);
      row[x] = static_cast<float>(v);
    }
  }
  cv::GaussianBlur(field, field, {}, 0.8 * kCoarse);
  return field;
}

Coarse CoarseFields(const Plan& plan, const math::Rng& rng) {
  cv::Point2d low(1e9, 1e9), high(-1e9, -1e9);
  const auto extend = [&](const MmRing& ring) {
    for (const cv::Point2d& p : ring) {
      low = {std::min(low.x, p.x), std::min(low.y, p.y)};
      high = {std::max(high.x, p.x), std::max(high.y, p.y)};
    }
  };
  for (const MuscleShape& m : plan.muscles) extend(m.ring);
  for (const MmRing& b : plan.bones) extend(b);
  Coarse c;
  c.origin = low - cv::Point2d(kBorderMm, kBorderMm);
  c.size = {static_cast<int>((high.x - low.x + 2 * kBorderMm) * kCoarse),
            static_cast<int>((high.y - low.y + 2 * kBorderMm) * kCoarse)};
  cv::Mat owner(c.size, CV_8U, cv::Scalar(0));
  cv::Mat bone(c.size, CV_8U, cv::Scalar(0));
  for (std::size_t i = 0; i < plan.muscles.size(); ++i) {
    Paint(owner, plan.muscles[i].ring, c.origin, static_cast<int>(i) + 1);
  }
  for (const MmRing& b : plan.bones) Paint(bone, b, c.origin, 255);
  bone.setTo(0, owner > 0);
  c.outer = OuterField(plan, owner, bone, c.origin, rng.Fork(1));
  if (!plan.bones.empty()) c.bone = SignedDistance(bone, 0.5) - 0.4;
  const cv::Mat fine = SmoothField(c.size, 1.3 * kCoarse, rng.Fork(2));
  const cv::Mat slow = SmoothField(c.size, 16.0 * kCoarse, rng.Fork(3));
  for (std::size_t i = 0; i < plan.muscles.size(); ++i) {
    cv::Mat field(c.size, CV_32F, cv::Scalar(-9.0));
    const cv::Mat mask = owner == static_cast<int>(i) + 1;
    cv::Rect window = cv::boundingRect(mask);
    if (window.area() > 0) {
      constexpr int kRoom = static_cast<int>(4 * kCoarse);
      window = cv::Rect(window.x - kRoom, window.y - kRoom, window.width + 2 * kRoom,
                        window.height + 2 * kRoom) &
               cv::Rect({}, c.size);
      SignedDistance(mask(window), 0.45).copyTo(field(window));
    }
    const auto seam = static_cast<float>(plan.muscles[i].seam_mm);
    for (int y = window.y; y < window.y + window.height; ++y) {
      float* row = field.ptr<float>(y);
      const float* f = fine.ptr<float>(y);
      const float* s = slow.ptr<float>(y);
      for (int x = window.x; x < window.x + window.width; ++x) {
        row[x] -= seam * std::clamp(0.75F + 0.55F * s[x], 0.12F, 2.2F) + 0.13F * f[x];
      }
    }
    c.muscle.push_back(field);
  }
  return c;
}

}  // namespace

FaceRaster RasterFromPlan(const Plan& plan, const Recipe& recipe) {
  const Coarse c = CoarseFields(plan, math::Rng(recipe.seed).Fork(200));
  const cv::Rect box = cv::boundingRect(cv::Mat(c.outer > 0));
  RIBWRIGHT_CHECK(box.area() > 0);
  FaceRaster face;
  face.px_per_mm = recipe.raster_px_per_mm;
  const cv::Point2d offset(box.x / kCoarse - 1.0,
                           box.y / kCoarse - 1.0);  // 1 mm of border, from the coarse corner
  face.origin_mm = c.origin + offset;
  const cv::Size size(static_cast<int>((box.width / kCoarse + 2.0) * face.px_per_mm),
                      static_cast<int>((box.height / kCoarse + 2.0) * face.px_per_mm));
  face.label = cv::Mat(size, CV_8U, cv::Scalar(kOutside));
  const cv::Rect everywhere({}, size);
  SetWhere(c.outer, face.px_per_mm, offset, everywhere, kOutside, kFat, face.label);
  if (!c.bone.empty())
    SetWhere(c.bone, face.px_per_mm, offset, everywhere, kFat, kBone, face.label);
  face.eye = plan.eye;
  for (std::size_t i = 0; i < plan.muscles.size(); ++i) {
    RasterMuscle m;
    m.name = plan.muscles[i].name;
    m.fibre_angle = plan.muscles[i].fibre_angle;
    m.marbling_aim = std::min(0.62, recipe.eye_marbling * plan.muscles[i].marbling_factor);
    // Only the window of the muscle is enlarged.
    const cv::Rect at = cv::boundingRect(cv::Mat(c.muscle[i] > -0.5));
    if (at.area() > 0) {
      const double s = face.px_per_mm;
      const cv::Point low(static_cast<int>((at.x / kCoarse - offset.x) * s) - 2,
                          static_cast<int>((at.y / kCoarse - offset.y) * s) - 2);
      const cv::Rect window =
          cv::Rect(low, cv::Size(static_cast<int>(at.width / kCoarse * s) + 6,
                                 static_cast<int>(at.height / kCoarse * s) + 6)) &
          cv::Rect({}, size);
      if (window.area() > 0) {
        m.box = window;
        SetWhere(c.muscle[i], s, offset, window, kFat, static_cast<std::uint8_t>(kFirstMuscle + i),
                 face.label);
      }
    }
    face.muscles.push_back(m);
  }
  for (std::size_t i = 0; i < face.muscles.size(); ++i) {
    RasterMuscle& m = face.muscles[i];
    if (m.box.area() == 0) continue;
    const cv::Mat own = face.label(m.box) == static_cast<int>(kFirstMuscle + i);
    m.pixels = cv::countNonZero(own);
    if (static_cast<double>(m.pixels) < kLeastMuscleMm2 * face.px_per_mm * face.px_per_mm) {
      face.label(m.box).setTo(
          kFat, own);  // a sliver that others or the knife left over: no muscle to report
      m.pixels = 0;
      m.box = {};
      continue;
    }
    const cv::Rect tight = cv::boundingRect(own);
    m.box = {m.box.x + tight.x, m.box.y + tight.y, tight.width, tight.height};
  }
  face.fat = face.label == static_cast<int>(kFat);
  face.line = cv::Mat(size, CV_8U, cv::Scalar(0));
  return face;
}

}  // namespace ribwright::phantom
