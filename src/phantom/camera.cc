// SPDX-License-Identifier: Apache-2.0
#include "phantom/camera.h"

#include <algorithm>
#include <cmath>

namespace ribwright::phantom {
namespace {

constexpr double kRadPerDeg = 3.14159265358979323846 / 180.0;
constexpr double kMostPixels = 15.5e6;

struct Bounds {
  double x0 = 1e18, y0 = 1e18, x1 = -1e18, y1 = -1e18;
};

// In pixels from the principal point.
Bounds BoundsOf(const Camera& camera, const std::vector<cv::Vec3d>& scene) {
  Bounds b;
  for (const cv::Vec3d& p : scene) {
    const cv::Vec3d c = camera.rotation * (p - camera.position);
    const double z = std::max(c[2], 1.0);
    b.x0 = std::min(b.x0, camera.focal_px * c[0] / z);
    b.x1 = std::max(b.x1, camera.focal_px * c[0] / z);
    b.y0 = std::min(b.y0, camera.focal_px * c[1] / z);
    b.y1 = std::max(b.y1, camera.focal_px * c[1] / z);
  }
  return b;
}

double ScaleAt(const Camera& camera, const cv::Vec3d& p) {
  const cv::Matx33d h = camera.PxFromPlane(p[2]);
  const double w = h(2, 0) * p[0] + h(2, 1) * p[1] + h(2, 2);
  return std::sqrt(std::abs(cv::determinant(h) / (w * w * w)));
}

}  // namespace

cv::Point2d Camera::PxFromWorld(const cv::Vec3d& p) const {
  const cv::Vec3d c = rotation * (p - position);
  return {middle.x + focal_px * c[0] / c[2], middle.y + focal_px * c[1] / c[2]};
}

cv::Matx33d Camera::PxFromPlane(double height_mm) const {
  const cv::Matx33d k(focal_px, 0, middle.x, 0, focal_px, middle.y, 0, 0, 1);
  const cv::Vec3d shift = rotation * (cv::Vec3d(0, 0, height_mm) - position);
  const cv::Matx33d m(rotation(0, 0), rotation(0, 1), shift[0], rotation(1, 0), rotation(1, 1),
                      shift[1], rotation(2, 0), rotation(2, 1), shift[2]);
  return k * m;
}

cv::Matx33d CameraRotation(const Recipe& recipe) {
  const double tilt = recipe.tilt_deg * kRadPerDeg;
  const double azimuth = recipe.tilt_azimuth_deg * kRadPerDeg;
  const double roll = recipe.roll_deg * kRadPerDeg;
  // Looking down: image x along world x, image y along world y, depth along -z; then leaned and
  // rolled.
  const cv::Matx33d down(1, 0, 0, 0, 1, 0, 0, 0, -1);
  const cv::Vec3d axis(std::cos(azimuth), std::sin(azimuth),
                       0);  // lean about this line of the image
  const double c = std::cos(tilt);
  const double s = std::sin(tilt);
  const cv::Matx33d cross(0, -axis[2], axis[1], axis[2], 0, -axis[0], -axis[1], axis[0], 0);
  const cv::Matx33d lean = cv::Matx33d::eye() * c + cross * s + (axis * axis.t()) * (1 - c);
  const cv::Matx33d turn(std::cos(roll), -std::sin(roll), 0, std::sin(roll), std::cos(roll), 0, 0,
                         0, 1);
  return turn * lean * down;
}

Camera PlaceCamera(const Recipe& recipe, const cv::Vec3d& aim,
                   const std::vector<cv::Vec3d>& scene) {
  Camera camera;
  camera.rotation = CameraRotation(recipe);
  const cv::Vec3d view(camera.rotation(2, 0), camera.rotation(2, 1), camera.rotation(2, 2));
  double distance = 300.0;
  double margin = recipe.frame_margin;
  cv::Vec3d target(0, 0, aim[2]);
  target[0] = aim[0];
  target[1] = aim[1];
  camera.focal_px = recipe.px_per_mm * distance;
  for (int i = 0; i < 40; ++i) {
    camera.position = target - view * distance;
    const Bounds b = BoundsOf(camera, scene);
    // Re-aim at the middle of what must be seen.
    const cv::Vec3d offset((b.x0 + b.x1) / 2, (b.y0 + b.y1) / 2, 0);
    cv::Vec3d slide = camera.rotation.t() * (offset * (distance / camera.focal_px));
    slide -= view * (slide[2] / std::min(view[2], -0.2));  // stay in the plane
    target += slide * 0.7;
    const double w = (b.x1 - b.x0) * (1 + margin);
    const double h = (b.y1 - b.y0) * (1 + margin);
    if (w * h > kMostPixels && margin > 0.02) margin = std::max(0.02, margin - 0.02);
    camera.size = {static_cast<int>(w) & ~1, static_cast<int>(h) & ~1};
    camera.middle = {0.5 * camera.size.width, 0.5 * camera.size.height};
    camera.focal_px =
        recipe.focal_35mm * std::hypot(camera.size.width, camera.size.height) / kFrameDiagonalMm;
    distance *= std::pow(ScaleAt(camera, aim) / recipe.px_per_mm, 0.8);
    distance = std::clamp(distance, 60.0, 5000.0);
  }
  camera.position = target - view * distance;
  return camera;
}

}  // namespace ribwright::phantom
