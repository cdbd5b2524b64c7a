// SPDX-License-Identifier: Apache-2.0
#include "phantom/flecks.h"

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "math/rng.h"
#include "phantom/field.h"
#include "phantom/stroke.h"

namespace ribwright::phantom {
namespace {

using math::Rng;
constexpr double kPi = 3.14159265358979323846;
constexpr double kFieldScale = 0.1;  // orientation and density are kept on a grid ten times coarser

struct Ground {     // what guides the strokes of one muscle
  cv::Mat angle;    // radians, on the coarse grid of the muscle's box
  cv::Mat density;  // acceptance 0..1
  cv::Point corner;
  float At(const cv::Mat& field, cv::Point2d p) const {
    const int x = std::clamp(static_cast<int>((p.x - corner.x) * kFieldScale), 0, field.cols - 1);
    const int y = std::clamp(static_cast<int>((p.y - corner.y) * kFieldScale), 0, field.rows - 1);
    return field.at<float>(y, x);
  }
};

Ground MakeGround(const RasterMuscle& muscle, double px_per_mm, double unevenness, Rng rng) {
  Ground g;
  g.corner = muscle.box.tl();
  const cv::Size size(std::max(2, static_cast<int>(muscle.box.width * kFieldScale) + 1),
                      std::max(2, static_cast<int>(muscle.box.height * kFieldScale) + 1));
  const double mm = px_per_mm * kFieldScale;
  g.angle = SmoothField(size, 26.0 * mm, rng.Fork(1)) * 0.7 +
            SmoothField(size, 9.0 * mm, rng.Fork(2)) * 0.25 + muscle.fibre_angle;
  cv::Mat slow =
      SmoothField(size, 20.0 * mm, rng.Fork(3)) + 0.6 * SmoothField(size, 7.0 * mm, rng.Fork(4));
  slow *= 1.1 * unevenness;
  cv::exp(slow, g.density);
  double top = 1.0;
  cv::minMaxLoc(g.density, nullptr, &top);
  g.density /= std::min(top, 4.0);
  return g;
}

struct Stroke {
  cv::Point2d start;
  double heading = 0.0;
  double width = 1.0;   // px at its thickest
  double length = 1.0;  // px
  double wander = 0.3;  // heading noise, rad per step
  double branch = 0.0;  // chance of a branch per step
  int depth = 0;
};

void PaintStroke(Brush& brush, const Ground& ground, const Stroke& s, double px_per_mm, Rng& rng) {
  const double step = std::max(0.3 * px_per_mm, 0.45 * s.width);
  const int steps = std::max(1, static_cast<int>(s.length / step));
  cv::Point2d p = s.start;
  double heading = s.heading;
  double curve = 0.0;
  double swell = 0.0;
  double radius = 0.0;
  const double crest = rng.Uniform(0.15, 0.6);  // where along it the vein is thickest
  for (int i = 0; i < steps; ++i) {
    curve = 0.7 * curve + s.wander * rng.Normal();
    // The fibre direction pulls a straying vein back.
    const double stray = std::remainder(heading - ground.At(ground.angle, p), kPi);
    heading += curve * 0.5 - 0.10 * stray;
    const cv::Point2d next = p + step * cv::Point2d(std::cos(heading), std::sin(heading));
    if (!brush.OnLabel(next)) {
      if (i == 0) brush.Capsule(p, 0.35 * s.width, p, 0.35 * s.width);
      return;
    }
    swell = 0.6 * swell + 0.28 * rng.Normal();
    const double u = (i + 1.0) / steps;
    const double taper =
        u < crest ? std::sqrt(u / crest) : std::sqrt(std::max(0.0, (1.0 - u) / (1.0 - crest)));
    const double next_radius = 0.5 * s.width * std::max(0.12, taper * std::exp(swell));
    brush.Capsule(p, i == 0 ? 0.3 * next_radius : radius, next, next_radius);
    radius = next_radius;
    p = next;
    if (s.depth < 2 && rng.Chance(s.branch)) {
      Stroke child = s;
      child.start = p;
      child.heading = heading + (rng.Chance(0.5) ? 1 : -1) * rng.Uniform(0.4, 1.4);
      child.width = std::min(2.0 * radius, s.width) * rng.Uniform(0.5, 0.95);
      child.length = s.length * rng.Uniform(0.2, 0.6);
      child.depth = s.depth + 1;
      PaintStroke(brush, ground, child, px_per_mm, rng);
    }
  }
}

Stroke DrawStroke(double median_width_mm, double richness, double fibre, double px_per_mm,
                  Rng& rng) {
  Stroke s;
  const double kind = rng.Uniform();
  double width_mm;
  double length_mm;
  if (kind < 0.48) {  // vein
    width_mm = std::clamp(median_width_mm * std::exp(0.55 * rng.Normal()), 0.08, 4.0);
    length_mm = std::clamp(width_mm * rng.Uniform(3, 11), 1.0, 30.0);
    s.wander = rng.Uniform(0.1, 0.4);
    s.branch = rng.Uniform(0.02, 0.14) * (0.5 + richness);
  } else if (kind < 0.91) {  // dash or dot
    width_mm = std::clamp(0.55 * median_width_mm * std::exp(0.5 * rng.Normal()), 0.06, 1.5);
    length_mm = width_mm * rng.Uniform(0.8, 5);
    s.wander = 0.3;
  } else {  // thread
    width_mm = rng.Uniform(0.05, 0.18);
    length_mm = rng.Uniform(1.5, 9);
    s.wander = rng.Uniform(0.1, 0.25);
    s.branch = 0.05;
  }
  s.heading = fibre + (rng.Chance(0.5) ? kPi : 0.0) + rng.Normal(0, 0.4);
  s.width = width_mm * px_per_mm;
  s.length = length_mm * px_per_mm;
  return s;
}

void DrawMuscle(FaceRaster& face, std::size_t index, const Recipe& recipe, Rng rng) {
  const RasterMuscle& muscle = face.muscles[index];
  if (muscle.pixels == 0) return;
  const Ground ground = MakeGround(muscle, face.px_per_mm, recipe.unevenness, rng.Fork(1));
  Rng draw = rng.Fork(2);
  Brush brush(face.fat, face.label, static_cast<int>(kFirstMuscle + index));
  const double wanted = muscle.marbling_aim * static_cast<double>(muscle.pixels);
  const double richness = std::sqrt(muscle.marbling_aim / 0.12);
  const double median_mm = recipe.fleck_width_mm * std::exp(draw.Normal(0, 0.12));
  for (int tries = 0; tries < 400000; ++tries) {
    const double missing = wanted - brush.Painted();
    if (missing < 3.0) break;
    const cv::Point2d start(muscle.box.x + draw.Uniform() * muscle.box.width,
                            muscle.box.y + draw.Uniform() * muscle.box.height);
    if (!brush.OnLabel(start) || !draw.Chance(ground.At(ground.density, start))) continue;
    Stroke s =
        DrawStroke(median_mm, richness, ground.At(ground.angle, start), face.px_per_mm, draw);
    // No stroke may overshoot what is left by much.
    const double area = 0.8 * s.width * s.length * (1.0 + 4.0 * s.branch);
    if (area > missing) {
      const double shrink = std::sqrt(missing / area);
      s.width *= shrink;
      s.length *= shrink;
    }
    s.start = start;
    PaintStroke(brush, ground, s, face.px_per_mm, draw);
  }
}

}  // namespace

void DrawFlecks(FaceRaster& face, const Recipe& recipe) {
  const Rng rng = Rng(recipe.seed).Fork(300);
  for (std::size_t i = 0; i < face.muscles.size(); ++i) DrawMuscle(face, i, recipe, rng.Fork(i));
}

void DrawConnectiveLines(FaceRaster& face, const Recipe& recipe) {
  Rng rng = Rng(recipe.seed).Fork(400);
  if (face.muscles.empty()) return;
  for (int i = 0; i < recipe.connective_lines; ++i) {
    // Half of them in the eye, the rest anywhere.
    const std::size_t index =
        rng.Chance(0.55) ? face.eye : rng.Below(static_cast<std::uint32_t>(face.muscles.size()));
    const RasterMuscle& muscle = face.muscles[index];
    if (muscle.pixels == 0) continue;
    Brush brush(face.line, face.label, static_cast<int>(kFirstMuscle + index));
    const Ground ground =
        MakeGround(muscle, face.px_per_mm, 0.0, rng.Fork(static_cast<std::uint64_t>(i)));
    for (int tries = 0; tries < 200; ++tries) {
      const cv::Point2d start(muscle.box.x + rng.Uniform() * muscle.box.width,
                              muscle.box.y + rng.Uniform() * muscle.box.height);
      if (!brush.OnLabel(start)) continue;
      Stroke s;
      s.start = start;
      s.heading = ground.At(ground.angle, start) + rng.Normal(0, 0.7);
      s.width = std::clamp(0.25 * std::exp(rng.Normal(0, 0.5)), 0.1, 1.2) * face.px_per_mm;
      s.length = rng.Uniform(12, 60) * face.px_per_mm;
      s.wander = 0.03;
      s.branch = 0.01;
      PaintStroke(brush, ground, s, face.px_per_mm, rng);
      break;
    }
  }
}

}  // namespace ribwright::phantom
