// SPDX-License-Identifier: Apache-2.0
#include "phantom/surface.h"

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>
#include <vector>

#include "math/rng.h"
#include "phantom/field.h"
#include "phantom/glare.h"
#include "phantom/surface_extras.h"

namespace ribwright::phantom {
namespace {

using math::Rng;
constexpr double kRadPerDeg = 3.14159265358979323846 / 180.0;

struct Palette {
  std::vector<cv::Vec3f> lean;  // by muscle
  cv::Vec3f fat, fat_warm, line, bone, marrow;
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
  p.line = Paint({0.45 * r.lean.L + 0.55 * rng.Uniform(56, 74), 0.45 * r.lean.a + rng.Uniform(0, 4),
                  0.3 * r.lean.b + rng.Uniform(-2, 3)});
  p.bone = Paint({rng.Uniform(68, 80), rng.Uniform(2, 6), rng.Uniform(8, 16)});
  p.marrow = Paint({rng.Uniform(38, 52), rng.Uniform(16, 26), rng.Uniform(10, 18)});
  return p;
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

struct Mean {
  cv::Vec3d sum;
  double n = 0;
  void Add(const cv::Vec3f& v) {
    sum += cv::Vec3d(v);
    n += 1;
  }
};

// Reflectance of the dry surface (CV_16UC3, kUnit) and the mean colours of lean and fat.
cv::Mat Reflectance(const FaceRaster& face, const Recipe& r, const cv::Mat& alpha, const Rng& root,
                    Surface& out) {
  const cv::Size size = alpha.size();
  const double s = out.px_per_mm;
  const Palette paint = MakePalette(face, r, root.Fork(1));
  const double angle = face.muscles.empty() ? 0.0 : face.muscles[face.eye].fibre_angle;
  const cv::Mat grain = GrainField(size, s, angle, root.Fork(3));
  const double step = std::max(1.0, s / 3.0);
  const cv::Size coarse = CoarseSize(size, step);
  const double c = s / step;
  SlowRows slow_rows(OctaveField(coarse, 24.0 * c, 3, 0.6, root.Fork(4)), step, size);
  SlowRows hue_rows(OctaveField(coarse, 30.0 * c, 2, 0.6, root.Fork(5)), step, size);
  SlowRows white_rows(OctaveField(coarse, 11.0 * c, 2, 0.6, root.Fork(6)), step, size);
  SlowRows pore_rows(SmoothField(coarse, std::max(1.0, 0.6 * c), root.Fork(7)), step, size);
  const auto variation = static_cast<float>(0.10 * r.lean_variation);
  const auto turn = static_cast<float>(0.05 * r.lean_variation);
  const auto grain_size = static_cast<float>(r.grain);
  const auto opacity = static_cast<float>(r.fat_opacity);
  SurfaceExtras extras(size, s, angle, r, root.Fork(10));
  const cv::Vec3f crust = Paint({27, 11, 17});
  const cv::Vec3f beside = paint.lean.empty() ? paint.fat : paint.lean[face.eye];
  Mean lean_mean, fat_mean;
  cv::Mat look(size, CV_16UC3);
  for (int y = 0; y < size.height; ++y) {
    auto* o = look.ptr<cv::Vec<std::uint16_t, 3>>(y);
    const std::uint8_t* fat = out.fat.ptr<std::uint8_t>(y);
    const std::uint8_t* line = out.line.ptr<std::uint8_t>(y);
    const std::uint8_t* label = out.label.ptr<std::uint8_t>(y);
    const std::uint8_t* cover = alpha.ptr<std::uint8_t>(y);
    const float* net = grain.ptr<float>(y);
    const float* slow = slow_rows.Row(y);
    const float* hue = hue_rows.Row(y);
    const float* white = white_rows.Row(y);
    const float* pores = pore_rows.Row(y);
    extras.Row(y);
    for (int x = 0; x < size.width; ++x) {
      const float w = white[x];
      const cv::Vec3f fat_colour =
          paint.fat + (paint.fat_warm - paint.fat) * std::clamp(0.35F + 0.4F * w, 0.0F, 1.0F);
      cv::Vec3f colour;
      if (label[x] == kBone) {
        const float pore = std::clamp(0.9F * pores[x] + 0.25F * w - 0.25F, 0.0F, 1.0F);
        colour = paint.bone + (paint.marrow - paint.bone) * pore;
      } else if (label[x] < kFirstMuscle) {
        // A pixel on a border shares its area with the lean beside it.
        const float pure =
            cover[x] > 0 ? std::min(1.0F, static_cast<float>(fat[x]) / static_cast<float>(cover[x]))
                         : 1.0F;
        colour = beside + (fat_colour * (1.0F + 0.25F * grain_size * net[x]) - beside) *
                              (pure * (1.0F - extras.Thread(x)));
        if (label[x] == kFat && fat[x] > 242) fat_mean.Add(colour);
      } else {
        const float f = fat[x] / 255.0F;
        const float l = line[x] / 255.0F;
        cv::Vec3f lean = paint.lean[static_cast<std::size_t>(label[x] - kFirstMuscle)];
        const float v = 1.0F + variation * slow[x];
        const float h = turn * hue[x];
        const float g = (1.0F + grain_size * net[x]) * extras.Bundle(x);
        // Fibre nets are paler and less red, as thin fat and tissue are.
        lean = {lean[0] * v * (1.0F + 0.6F * (g - 1.0F)), lean[1] * v * g * (1.0F + h),
                lean[2] * v * g * (1.0F - 0.7F * h)};
        if (f < 0.05F && l < 0.05F) lean_mean.Add(lean);
        colour = lean + (paint.line - lean) * (0.75F * l);
        colour += (fat_colour - colour) * (f * std::min(opacity + 0.05F * w, 1.0F));
        if (f > 0.95F) fat_mean.Add(colour);
      }
      colour += (crust - colour) * extras.Crust(x);
      for (int k = 0; k < 3; ++k)
        o[x][k] = cv::saturate_cast<std::uint16_t>(colour[k] * static_cast<float>(kUnit));
    }
  }
  if (lean_mean.n > 0) out.lean = LabFromLinear(lean_mean.sum / lean_mean.n);
  if (fat_mean.n > 0) out.fat_colour = LabFromLinear(fat_mean.sum / fat_mean.n);
  return look;
}

// Relief, rim and wet glare on the softened reflectance; fills out.look and out.glare.
void Illuminate(const cv::Mat& look, const cv::Mat& alpha, const cv::Mat& hollows,
                const Relief& relief, const Recipe& r, const Rng& root, Surface& out) {
  const cv::Size size = look.size();
  const double s = out.px_per_mm;
  const cv::Mat glare = GlareField(alpha, relief, s, r, root.Fork(8));
  const cv::Vec3f dark = Paint({22, 9, 6});
  cv::Mat rim;  // pixels to the edge, for bark and lit rims
  if (r.bark > 0 || r.rim_light > 0) cv::distanceTransform(alpha > 127, rim, cv::DIST_L2, 3);
  const cv::Vec3d lean_linear = LinearFromLab(r.lean);
  const auto lean_light = static_cast<float>(0.2126 * lean_linear[0] + 0.7152 * lean_linear[1] +
                                             0.0722 * lean_linear[2]);
  const auto bark_mm = static_cast<float>(r.bark_mm);
  const auto rim_mm = static_cast<float>(r.rim_mm);
  const double steep =
      0.10 * r.relief / std::tan(std::max(20.0, r.light_elevation_deg) * kRadPerDeg);
  SlowRows lit_rows(relief.slope_x * (steep * std::cos(r.light_azimuth_deg * kRadPerDeg)) +
                        relief.slope_y * (steep * std::sin(r.light_azimuth_deg * kRadPerDeg)),
                    relief.step, size);
  out.look.create(size, CV_16UC4);
  out.glare.create(size, CV_8U);
  for (int y = 0; y < size.height; ++y) {
    const auto* c = look.ptr<cv::Vec<std::uint16_t, 3>>(y);
    auto* o = out.look.ptr<cv::Vec<std::uint16_t, 4>>(y);
    const std::uint8_t* cover = alpha.ptr<std::uint8_t>(y);
    const float* lit = lit_rows.Row(y);
    const float* mirror = glare.ptr<float>(y);
    const std::uint8_t* hollow = hollows.empty() ? nullptr : hollows.ptr<std::uint8_t>(y);
    std::uint8_t* flag = out.glare.ptr<std::uint8_t>(y);
    for (int x = 0; x < size.width; ++x) {
      const float a = cover[x] / 255.0F;
      float shade = std::clamp(1.0F + lit[x], 0.5F, 1.5F) / static_cast<float>(kUnit);
      if (hollow != nullptr) shade *= static_cast<float>(hollow[x]) / 255.0F;
      cv::Vec3f colour(c[x][0] * shade, c[x][1] * shade, c[x][2] * shade);
      if (!rim.empty()) {
        const float mm = rim.at<float>(y, x) / static_cast<float>(s);
        const float bark = static_cast<float>(r.bark) * std::exp(-mm / bark_mm);
        colour += (dark - colour) * std::min(1.0F, 1.3F * bark);
        colour *= 1.0F + static_cast<float>(r.rim_light) * std::exp(-mm / rim_mm);
      }
      const float mirrored = mirror[x] * lean_light;
      const float own = 0.2126F * colour[0] + 0.7152F * colour[1] + 0.0722F * colour[2];
      flag[x] = mirrored >= own && a > 0 ? 255 : 0;
      for (int k = 0; k < 3; ++k) {
        o[x][k] = cv::saturate_cast<std::uint16_t>((colour[k] + mirrored) * a *
                                                   static_cast<float>(kUnit));
      }
      o[x][3] = cv::saturate_cast<std::uint16_t>(a * static_cast<float>(kUnit));
    }
  }
}

}  // namespace

Surface PaintSurface(const FaceRaster& face, const Recipe& r, double px_per_mm) {
  const Rng root = Rng(r.seed).Fork(500);
  Surface out;
  out.origin_mm = face.origin_mm;
  const double shrink = std::min(px_per_mm, face.px_per_mm) / face.px_per_mm;
  const cv::Size size(static_cast<int>(face.label.cols * shrink),
                      static_cast<int>(face.label.rows * shrink));
  // The size is whole, so the scale is set from it; both axes agree within half a pixel of the
  // whole face.
  out.px_per_mm = face.px_per_mm * size.width / face.label.cols;
  cv::resize(face.fat, out.fat, size, 0, 0, cv::INTER_AREA);
  cv::resize(face.line, out.line, size, 0, 0, cv::INTER_AREA);
  cv::resize(face.label, out.label, size, 0, 0, cv::INTER_NEAREST_EXACT);  // centres aligned
  cv::Mat alpha;
  cv::resize(cv::Mat(face.label != static_cast<int>(kOutside)), alpha, size, 0, 0, cv::INTER_AREA);
  const Relief relief = MakeRelief(size, out.px_per_mm, r, root.Fork(2));
  cv::Mat look = Reflectance(face, r, alpha, root, out);
  // Light that enters beside an edge leaves across it.
  if (r.soften_mm * out.px_per_mm > 0.3)
    cv::GaussianBlur(look, look, {}, r.soften_mm * out.px_per_mm);
  cv::Mat hollows;
  if (!face.shade.empty()) cv::resize(face.shade, hollows, size, 0, 0, cv::INTER_AREA);
  Illuminate(look, alpha, hollows, relief, r, root, out);
  return out;
}

}  // namespace ribwright::phantom
