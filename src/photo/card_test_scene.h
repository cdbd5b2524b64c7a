// SPDX-License-Identifier: Apache-2.0
// For tests only: a pinhole photo of the card on a plain board, with known truth.
//
// World mm on the board are the card's designed mm times print_scale, directions alike, the origin
// at the card's middle. Truth comes from the geometry alone.
#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <functional>
#include <opencv2/core.hpp>
#include <opencv2/imgproc.hpp>
#include <vector>

#include "photo/card_layout.h"

namespace ribwright::photo::test {

struct Scene {
  cv::Size size{2400, 1800};
  double focal_px = 2400.0;
  double distance_mm = 450.0;      // camera to the middle of the view, along the axis
  double tilt_deg = 0.0;           // of the axis against the board's normal
  double azimuth_deg = 0.0;        // direction of the tilt
  double roll_deg = 0.0;           // of the photo
  cv::Point2d look_at{0.0, 40.0};  // world mm on the board
  double print_scale = 1.0;
  double blur_px = 0.8;
  double noise = 2.0;                               // 8-bit codes
  std::vector<cv::Rect2d> dirt;                     // in designed mm
  cv::Vec3d board{0.35, 0.30, 0.24};                // linear
  cv::Matx33d mixing = cv::Matx33d::eye();          // of linear light in the camera
  std::function<double(double x, double y)> light;  // world mm; 1 without
  bool card = true;
};

// Photo pixels from world mm of the plane that lies `height` over the board.
inline cv::Matx33d PxFromWorld(const Scene& s, double height = 0.0) {
  const double rad = CV_PI / 180.0;
  const double t = s.tilt_deg * rad;
  const double az = s.azimuth_deg * rad;
  const double r = s.roll_deg * rad;
  // With x right and y down, the third axis of a right-handed frame points into the board: `height`
  // counts against it.
  const cv::Matx33d tilt_x(1, 0, 0, 0, std::cos(t), -std::sin(t), 0, std::sin(t), std::cos(t));
  const auto about_z = [](double a) {
    return cv::Matx33d(std::cos(a), -std::sin(a), 0, std::sin(a), std::cos(a), 0, 0, 0, 1);
  };
  const cv::Matx33d rotation = about_z(r) * tilt_x * about_z(az);
  const cv::Vec3d centre = rotation * cv::Vec3d(s.look_at.x, s.look_at.y, 0.0);
  const cv::Vec3d translation = cv::Vec3d(0, 0, s.distance_mm) - centre;
  const cv::Matx33d k(s.focal_px, 0, s.size.width / 2.0, 0, s.focal_px, s.size.height / 2.0, 0, 0,
                      1);
  const cv::Vec3d third =
      cv::Vec3d(rotation(0, 2), rotation(1, 2), rotation(2, 2)) * -height + translation;
  return k * cv::Matx33d(rotation(0, 0), rotation(0, 1), third[0], rotation(1, 0), rotation(1, 1),
                         third[1], rotation(2, 0), rotation(2, 1), third[2]);
}

inline double Linear(double code) {
  const double v = code / 255.0;
  return v <= 0.04045 ? v / 12.92 : std::pow((v + 0.055) / 1.055, 2.4);
}
inline double Coded(double linear) {
  const double v = std::min(1.0, std::max(0.0, linear));
  return 255.0 * (v <= 0.0031308 ? 12.92 * v : 1.055 * std::pow(v, 1 / 2.4) - 0.055);
}

// sRGB photo, 8 bit.
inline cv::Mat Render(const Scene& s, std::uint64_t seed) {
  const cv::Matx33d world = PxFromWorld(s).inv();
  std::array<double, 256> linear{};
  for (std::size_t i = 0; i < 256; ++i) linear[i] = Linear(static_cast<double>(i));
  cv::Mat light(s.size, CV_32FC3);
  // A turned grid: edges near a photo's axes cross it at four depths.
  constexpr std::array<std::array<double, 2>, 4> kGrid{
      {{0.125, 0.375}, {0.375, 0.875}, {0.625, 0.125}, {0.875, 0.625}}};
  for (int y = 0; y < s.size.height; ++y) {
    for (int x = 0; x < s.size.width; ++x) {
      cv::Vec3d sum(0, 0, 0);
      for (const auto& [gx, gy] : kGrid) {
        const cv::Vec3d v = world * cv::Vec3d(x + gx, y + gy, 1.0);
        const double wx = v[0] / v[2];
        const double wy = v[1] / v[2];
        const double dx = wx / s.print_scale + kCardWidthMm / 2;
        const double dy = wy / s.print_scale + kCardHeightMm / 2;
        const auto colour = s.card ? CardColourAt(dx, dy) : std::nullopt;
        cv::Vec3d c = s.board;
        if (colour) c = {linear[colour->r], linear[colour->g], linear[colour->b]};
        for (const auto& d : s.dirt) {
          if (d.contains({dx, dy})) c = {0.20, 0.02, 0.02};
        }
        sum += c;
      }
      const cv::Point2d at = [&] {
        const cv::Vec3d v = world * cv::Vec3d(x + 0.5, y + 0.5, 1.0);
        return cv::Point2d(v[0] / v[2], v[1] / v[2]);
      }();
      const double lit = (s.light ? s.light(at.x, at.y) : 1.0) / kGrid.size();
      const cv::Vec3d seen = s.mixing * (sum * lit);
      light.at<cv::Vec3f>(y, x) = cv::Vec3f(seen);
    }
  }
  if (s.blur_px > 0) cv::GaussianBlur(light, light, cv::Size(0, 0), s.blur_px);
  constexpr int kSteps = 1 << 14;
  std::vector<float> table(kSteps + 1);
  for (int i = 0; i <= kSteps; ++i) {
    table[static_cast<std::size_t>(i)] = static_cast<float>(Coded(static_cast<double>(i) / kSteps));
  }
  const auto code = [&](float v) {
    return table[static_cast<std::size_t>(std::clamp(v, 0.0F, 1.0F) * kSteps)];
  };
  cv::Mat coded(s.size, CV_32FC3);
  for (int y = 0; y < s.size.height; ++y) {
    for (int x = 0; x < s.size.width; ++x) {
      const cv::Vec3f& v = light.at<cv::Vec3f>(y, x);
      coded.at<cv::Vec3f>(y, x) = {code(v[0]), code(v[1]), code(v[2])};
    }
  }
  if (s.noise > 0) {
    cv::RNG rng(seed + 1);
    cv::Mat noise(s.size, CV_32FC3);
    rng.fill(noise, cv::RNG::NORMAL, 0.0, s.noise);
    coded += noise;
  }
  cv::Mat photo;
  coded.convertTo(photo, CV_8U);
  return photo;
}

}  // namespace ribwright::photo::test
