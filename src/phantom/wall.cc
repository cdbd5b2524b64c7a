// SPDX-License-Identifier: Apache-2.0
#include "phantom/wall.h"

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>
#include <vector>

#include "math/rng.h"
#include "phantom/field.h"
#include "phantom/surface.h"

namespace ribwright::phantom {
namespace {

constexpr double kTexture = 3.0;  // px/mm along and down the wall

cv::Vec3f Paint(const PaintLab& lab) {
  const cv::Vec3d v = LinearFromLab(lab);
  return {static_cast<float>(v[0]), static_cast<float>(v[1]), static_cast<float>(v[2])};
}

// Share of fat along the wall (1 px a step of the ring, smoothed), from just inside the face's
// edge.
std::vector<float> FatAlong(const Piece& piece) {
  const cv::Matx33d face_from_world = piece.world_from_face.inv();
  cv::Point2d middle(0, 0);
  for (const cv::Point2d& p : piece.outline) middle += p;
  middle *= 1.0 / static_cast<double>(piece.outline.size());
  std::vector<float> share;
  for (const cv::Point2d& p : piece.outline) {
    const cv::Point2d to = middle - p;
    const cv::Point2d q = p + to * (1.2 / std::max(1.0, std::sqrt(to.dot(to))));
    const cv::Vec3d f = face_from_world * cv::Vec3d(q.x, q.y, 1);
    const int x = static_cast<int>((f[0] - piece.face.origin_mm.x) * piece.face.px_per_mm);
    const int y = static_cast<int>((f[1] - piece.face.origin_mm.y) * piece.face.px_per_mm);
    const bool on = x >= 0 && y >= 0 && x < piece.face.label.cols && y < piece.face.label.rows;
    share.push_back(on && piece.face.label.at<std::uint8_t>(y, x) >= kFirstMuscle ? 0.0F : 1.0F);
  }
  return share;
}

cv::Mat WallTexture(const Piece& piece, const Recipe& r) {
  const auto n = static_cast<int>(piece.outline.size());
  const cv::Size size(std::max(8, static_cast<int>(n * kTexture)),
                      std::max(8, static_cast<int>(r.thickness_mm * kTexture)));
  const math::Rng root = math::Rng(piece.recipe.seed).Fork(1000);
  const std::vector<float> fat = FatAlong(piece);
  const cv::Mat drift = OctaveField(size, 14.0 * kTexture, 3, 0.55, root.Fork(1));
  const cv::Mat mottle = OctaveField(size, 3.5 * kTexture, 3, 0.6, root.Fork(2));
  const cv::Vec3f lean = Paint({r.lean.L - 3, r.lean.a, r.lean.b});
  const cv::Vec3f white = Paint(r.fat);
  cv::Mat texture(size, CV_32FC3);
  for (int y = 0; y < size.height; ++y) {
    const float depth = static_cast<float>(y) / static_cast<float>(size.height);
    for (int x = 0; x < size.width; ++x) {
      const float along = static_cast<float>(x) / static_cast<float>(kTexture) +
                          9.0F * depth * drift.at<float>(y, x);
      const auto i = static_cast<int>(std::floor(along));
      const auto at = [&](int k) { return fat[static_cast<std::size_t>(((k % n) + n) % n)]; };
      float share = 0.25F * (at(i - 1) + 2.0F * at(i) + at(i + 1));
      share = std::clamp(share + 0.12F * mottle.at<float>(y, x), 0.0F, 1.0F);
      texture.at<cv::Vec3f>(y, x) =
          (lean + (white - lean) * share) * (1.0F + 0.05F * mottle.at<float>(y, x));
    }
  }
  return texture;
}

// Linear between the texture's pixels.
cv::Vec3f Sample(const cv::Mat& texture, double x, double y) {
  const double fx = std::clamp(x, 0.0, texture.cols - 1.001);
  const double fy = std::clamp(y, 0.0, texture.rows - 1.001);
  const int x0 = static_cast<int>(fx);
  const int y0 = static_cast<int>(fy);
  const auto wx = static_cast<float>(fx - x0);
  const auto wy = static_cast<float>(fy - y0);
  const auto* a = texture.ptr<cv::Vec3f>(y0);
  const auto* b = texture.ptr<cv::Vec3f>(y0 + 1);
  return (a[x0] * (1 - wx) + a[x0 + 1] * wx) * (1 - wy) + (b[x0] * (1 - wx) + b[x0 + 1] * wx) * wy;
}

}  // namespace

void PaintWall(cv::Mat& canvas, const Piece& piece, const Camera& camera, const Recipe& r) {
  const auto n = static_cast<int>(piece.outline.size());
  if (n < 8 || r.thickness_mm < 1.0) return;
  const cv::Mat texture = WallTexture(piece, r);
  math::Rng rng = math::Rng(piece.recipe.seed).Fork(1001);
  const double a1 = rng.Normal(0, 1.2);
  const double a2 = rng.Normal(0, 0.8);
  const double p1 = rng.Uniform(0, 6.28);
  const double p2 = rng.Uniform(0, 6.28);
  const double azimuth = r.light_azimuth_deg * 3.14159265358979323846 / 180.0;
  double area = 0.0;
  for (int i = 0; i < n; ++i)
    area += piece.outline[static_cast<std::size_t>(i)].cross(
        piece.outline[static_cast<std::size_t>((i + 1) % n)]);
  const double turn = area > 0 ? 1.0 : -1.0;
  const auto top = [&](int i) { return piece.outline[static_cast<std::size_t>((i % n + n) % n)]; };
  const auto outward = [&](int i) {
    const cv::Point2d d = top(i + 3) - top(i - 3);
    const double length = std::max(1e-9, std::sqrt(d.dot(d)));
    return cv::Point2d(turn * d.y / length, -turn * d.x / length);
  };
  for (int i = 0; i < n; ++i) {
    const cv::Point2d normal = outward(i);
    const cv::Point2d to_camera(camera.position[0] - top(i).x, camera.position[1] - top(i).y);
    const double swell =
        a1 * std::sin(6.28318 * 3 * i / n + p1) + a2 * std::sin(6.28318 * 8 * i / n + p2);
    if (normal.dot(to_camera) < -30.0) continue;
    const auto corner = [&](int k, double down) {
      const cv::Point2d p = top(k) + (swell * down - 0.05) * outward(k);
      const cv::Point2d px = camera.PxFromWorld({p.x, p.y, r.thickness_mm * (1 - down)});
      return cv::Point2d(px.x - 0.5, px.y - 0.5);
    };
    const double lit = 0.68 + 0.30 * (normal.x * std::cos(azimuth) + normal.y * std::sin(azimuth));
    constexpr int kSlices = 6;
    for (int slice = 0; slice < kSlices; ++slice) {
      const double d0 = static_cast<double>(slice) / kSlices;
      const double d1 = static_cast<double>(slice + 1) / kSlices;
      const cv::Point2d q00 = corner(i, d0);
      const cv::Point2d q10 = corner(i + 1, d0);
      const cv::Point2d q01 = corner(i, d1);
      const cv::Point2d q11 = corner(i + 1, d1);
      const cv::Point2d u = q10 - q00;
      const cv::Point2d v = q01 - q00;
      const double det = u.cross(v);
      if (std::abs(det) < 1e-6) continue;
      const int x0 =
          std::max(0, static_cast<int>(std::floor(std::min({q00.x, q10.x, q01.x, q11.x}))));
      const int x1 = std::min(canvas.cols - 1,
                              static_cast<int>(std::ceil(std::max({q00.x, q10.x, q01.x, q11.x}))));
      const int y0 =
          std::max(0, static_cast<int>(std::floor(std::min({q00.y, q10.y, q01.y, q11.y}))));
      const int y1 = std::min(canvas.rows - 1,
                              static_cast<int>(std::ceil(std::max({q00.y, q10.y, q01.y, q11.y}))));
      for (int y = y0; y <= y1; ++y) {
        auto* row = canvas.ptr<cv::Vec<std::uint16_t, 3>>(y);
        for (int x = x0; x <= x1; ++x) {
          const cv::Point2d p = cv::Point2d(x, y) - q00;
          const double s = p.cross(v) / det;
          const double t = u.cross(p) / det;
          if (s < -0.04 || s > 1.04 || t < -0.04 || t > 1.04) continue;
          const double down = std::clamp(d0 + t * (d1 - d0), 0.0, 1.0);
          const auto shade = static_cast<float>(lit * (1.0 - 0.45 * down * down) * kUnit);
          const cv::Vec3f c =
              Sample(texture, (i + std::clamp(s, 0.0, 1.0)) * kTexture, down * (texture.rows - 1)) *
              shade;
          for (int k = 0; k < 3; ++k) row[x][k] = cv::saturate_cast<std::uint16_t>(c[k]);
        }
      }
    }
  }
}

}  // namespace ribwright::phantom
