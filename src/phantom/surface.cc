// SPDX-License-Identifier: Apache-2.0
#include "phantom/surface.h"

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>
#include <vector>

#include "math/rng.h"
#include "phantom/field.h"
#include "phantom/glare.h"

namespace ribwright::phantom {
namespace {

using math::Rng;
constexpr double kRadPerDeg = 3.14159265358979323846 / 180.0;

struct Palette {
  std::vector<cv::Vec3f> lean;  // by muscle
  cv::Vec3f fat, fat_warm, line, bone, marrow, dark;
};

cv::Vec3f Paint(PaintLab lab) {
  const cv::Vec3d v = LinearFromLab(lab);
  return {static_cast<float>(v[0]), static_cast<float>(v[1]), static_cast<float>(v[2])};
}

Palette MakePalette(const FaceRaster& face, const Recipe& r, Rng rng) {
  Palette p;
  for (std::size_t i = 0; i < face.muscles.size(); ++i) {
    PaintLab lab = r.lean;
    if (i != face.eye) {
      lab.L += rng.Normal(0, 1.6) * r.lean_variation;
      lab.a += rng.Normal(0, 1.3) * r.lean_variation;
      lab.b += rng.Normal(0, 0.9) * r.lean_variation;
    }
    p.lean.push_back(Paint(lab));
  }
  p.fat = Paint(r.fat);
  p.fat_warm = Paint({r.fat.L - 5, r.fat.a + 5, r.fat.b + 3});
  // Pale, greyish, a little blue against the lean.
  p.line = Paint({0.45 * r.lean.L + 0.55 * rng.Uniform(56, 74), 0.45 * r.lean.a + rng.Uniform(0, 4), 0.3 * r.lean.b + rng.Uniform(-2, 3)});
  p.bone = Paint({rng.Uniform(68, 80), rng.Uniform(2, 6), rng.Uniform(8, 16)});
  p.marrow = Paint({rng.Uniform(38, 52), rng.Uniform(16, 26), rng.Uniform(10, 18)});
  p.dark = Paint({22, 9, 6});
  return p;
}

cv::Mat ReliefField(cv::Size size, double s, const Recipe& r, Rng rng) {
  cv::Mat relief = OctaveField(size, 9.0 * s, 3, 0.45, rng.Fork(1));
  if (r.wrinkles > 0) {  // knife lines and folds: ridges across the face
    const cv::Mat folds = StretchedField(size, 40.0 * s, 3.0 * s, rng.Uniform(0, 3.14), rng.Fork(2));
    cv::Mat ridges = cv::abs(folds);
    cv::min(ridges, 0.6, ridges);
    cv::scaleAdd(ridges, 0.8 * r.wrinkles, relief, relief);
  }
  return relief;
}

// Fibre bundles: faint pale nets round darker islands, drawn out along the fibres.
cv::Mat GrainField(cv::Size size, double s, double angle, Rng rng) {
  const cv::Mat a = StretchedField(size, 1.9 * s, 0.8 * s, angle, rng.Fork(1));
  const cv::Mat b = StretchedField(size, 0.8 * s, 0.4 * s, angle + 0.5, rng.Fork(2));
  const cv::Mat c = SmoothField(size, std::max(1.0, 0.18 * s), rng.Fork(3));
  cv::Mat net = 0.9 - 1.5 * cv::abs(a);
  cv::scaleAdd(b, 0.55, net, net);
  cv::scaleAdd(c, 0.45, net, net);
  return net;
}

struct Sums {
  cv::Vec3d lean, fat;
  double lean_n = 0, fat_n = 0;
};

}  // namespace

Surface PaintSurface(const FaceRaster& face, const Recipe& r, double px_per_mm) {
  const Rng root = Rng(r.seed).Fork(500);
  Surface out;
  out.px_per_mm = std::min(px_per_mm, face.px_per_mm);
  out.origin_mm = face.origin_mm;
  const double shrink = out.px_per_mm / face.px_per_mm;
  const cv::Size size(static_cast<int>(face.label.cols * shrink), static_cast<int>(face.label.rows * shrink));
  // The size is whole, so the scale is set from it; both axes agree within half a pixel of the whole face.
  out.px_per_mm = face.px_per_mm * size.width / face.label.cols;
  cv::resize(face.fat, out.fat, size, 0, 0, cv::INTER_AREA);
  cv::resize(face.line, out.line, size, 0, 0, cv::INTER_AREA);
  cv::resize(face.label, out.label, size, 0, 0, cv::INTER_NEAREST);
  cv::Mat alpha;
  cv::resize(cv::Mat(face.label != static_cast<int>(kOutside)), alpha, size, 0, 0, cv::INTER_AREA);
  const double s = out.px_per_mm;
  const Palette paint = MakePalette(face, r, root.Fork(1));
  const double angle = face.muscles.empty() ? 0.0 : face.muscles[face.eye].fibre_angle;
  const cv::Mat relief = ReliefField(size, s, r, root.Fork(2));
  const cv::Mat grain = GrainField(size, s, angle, root.Fork(3));
  const cv::Mat slow = OctaveField(size, 24.0 * s, 3, 0.6, root.Fork(4));
  const cv::Mat hue = OctaveField(size, 30.0 * s, 2, 0.6, root.Fork(5));
  const cv::Mat whiteness = OctaveField(size, 11.0 * s, 2, 0.6, root.Fork(6));
  const cv::Mat pores = SmoothField(size, std::max(1.2, 0.5 * s), root.Fork(7));
  cv::Mat rim;  // mm to the edge, for bark and lit rims
  if (r.bark > 0 || r.rim_light > 0) cv::distanceTransform(alpha > 127, rim, cv::DIST_L2, 3);

  cv::Mat look(size, CV_32FC3);
  Sums sums;
  const auto variation = static_cast<float>(0.10 * r.lean_variation);
  const auto grain_size = static_cast<float>(r.grain);
  for (int y = 0; y < size.height; ++y) {
    auto* o = look.ptr<cv::Vec3f>(y);
    const std::uint8_t* fat = out.fat.ptr<std::uint8_t>(y);
    const std::uint8_t* line = out.line.ptr<std::uint8_t>(y);
    const std::uint8_t* label = out.label.ptr<std::uint8_t>(y);
    for (int x = 0; x < size.width; ++x) {
      const float w = whiteness.at<float>(y, x);
      const cv::Vec3f fat_colour = paint.fat + (paint.fat_warm - paint.fat) * std::clamp(0.35F + 0.4F * w, 0.0F, 1.0F);
      if (label[x] == kBone) {
        const float pore = std::clamp(0.9F * pores.at<float>(y, x) + 0.25F * w - 0.25F, 0.0F, 1.0F);
        o[x] = paint.bone + (paint.marrow - paint.bone) * pore;
        continue;
      }
      if (label[x] < kFirstMuscle) {
        // A pixel on a border shares its area with the lean beside it.
        const std::uint8_t cover = alpha.at<std::uint8_t>(y, x);
        const float pure = cover > 0 ? std::min(1.0F, static_cast<float>(fat[x]) / static_cast<float>(cover)) : 1.0F;
        const cv::Vec3f beside = paint.lean.empty() ? fat_colour : paint.lean[face.eye];
        o[x] = beside + (fat_colour * (1.0F + 0.25F * grain_size * grain.at<float>(y, x)) - beside) * pure;
        if (label[x] == kFat && fat[x] > 242) {
          for (int k = 0; k < 3; ++k) sums.fat[k] += o[x][k];
          sums.fat_n += 1;
        }
        continue;
      }
      const float f = fat[x] / 255.0F;
      const float l = line[x] / 255.0F;
      cv::Vec3f lean = paint.lean[static_cast<std::size_t>(label[x] - kFirstMuscle)];
      const float v = 1.0F + variation * slow.at<float>(y, x);
      const float h = 0.05F * static_cast<float>(r.lean_variation) * hue.at<float>(y, x);
      const float g = 1.0F + grain_size * grain.at<float>(y, x);
      // Fibre nets are paler and less red, as thin fat and tissue are.
      lean = {lean[0] * v * (1.0F + 0.6F * (g - 1.0F)), lean[1] * v * g * (1.0F + h), lean[2] * v * g * (1.0F - 0.7F * h)};
      if (f < 0.05F && l < 0.05F) {
        for (int k = 0; k < 3; ++k) sums.lean[k] += lean[k];
        sums.lean_n += 1;
      }
      const float show = static_cast<float>(r.fat_opacity) + 0.05F * w;
      cv::Vec3f mixed = lean + (paint.line - lean) * (0.75F * l);
      mixed += (fat_colour - mixed) * (f * std::min(show, 1.0F));
      if (f > 0.95F) {
        for (int k = 0; k < 3; ++k) sums.fat[k] += mixed[k];
        sums.fat_n += 1;
      }
      o[x] = mixed;
    }
  }
  if (sums.lean_n > 0) out.lean = LabFromLinear(sums.lean / sums.lean_n);
  if (sums.fat_n > 0) out.fat_colour = LabFromLinear(sums.fat / sums.fat_n);

  // Light that enters beside an edge leaves across it.
  if (r.soften_mm * s > 0.3) cv::GaussianBlur(look, look, {}, r.soften_mm * s);
  const cv::Mat glare = GlareField(alpha, relief, s, r, root.Fork(8));
  const cv::Vec3d lean_linear = LinearFromLab(r.lean);
  const auto lean_light = static_cast<float>(0.2126 * lean_linear[0] + 0.7152 * lean_linear[1] + 0.0722 * lean_linear[2]);
  cv::Mat slope_x, slope_y;
  cv::Sobel(relief, slope_x, CV_32F, 1, 0, 3);
  cv::Sobel(relief, slope_y, CV_32F, 0, 1, 3);
  const double steep = 0.16 * r.relief * s / std::tan(std::max(20.0, r.light_elevation_deg) * kRadPerDeg);
  const auto to_x = static_cast<float>(steep * std::cos(r.light_azimuth_deg * kRadPerDeg));
  const auto to_y = static_cast<float>(steep * std::sin(r.light_azimuth_deg * kRadPerDeg));
  out.look.create(size, CV_16UC4);
  out.glare.create(size, CV_8U);
  for (int y = 0; y < size.height; ++y) {
    const auto* c = look.ptr<cv::Vec3f>(y);
    auto* o = out.look.ptr<cv::Vec<std::uint16_t, 4>>(y);
    for (int x = 0; x < size.width; ++x) {
      const float a = alpha.at<std::uint8_t>(y, x) / 255.0F;
      cv::Vec3f colour = c[x] * std::clamp(1.0F + to_x * slope_x.at<float>(y, x) + to_y * slope_y.at<float>(y, x), 0.5F, 1.5F);
      if (!rim.empty()) {
        const float mm = rim.at<float>(y, x) / static_cast<float>(s);
        const auto bark = static_cast<float>(r.bark) * std::exp(-mm / 2.0F);
        colour += (paint.dark - colour) * std::min(1.0F, 1.3F * bark);
        colour *= 1.0F + static_cast<float>(r.rim_light) * std::exp(-mm / 0.8F);
      }
      const float mirrored = glare.at<float>(y, x) * lean_light;
      const float own = 0.2126F * colour[0] + 0.7152F * colour[1] + 0.0722F * colour[2];
      out.glare.at<std::uint8_t>(y, x) = mirrored >= own && a > 0 ? 255 : 0;
      for (int k = 0; k < 3; ++k) {
        o[x][k] = cv::saturate_cast<std::uint16_t>((colour[k] + mirrored) * a * static_cast<float>(kUnit));
      }
      o[x][3] = cv::saturate_cast<std::uint16_t>(a * static_cast<float>(kUnit));
    }
  }
  return out;
}

}  // namespace ribwright::phantom
