// SPDX-License-Identifier: Apache-2.0
#include "phantom/light.h"

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>
#include <vector>

#include "math/rng.h"

namespace ribwright::phantom {
namespace {

constexpr double kRadPerDeg = 3.14159265358979323846 / 180.0;
constexpr int kBlock = 16;  // photo pixels a cell of the slow light map

// Multiplies by a coarse three-channel map, interpolated linearly.
void Multiply(cv::Mat& canvas, const cv::Mat& map, int block) {
  std::vector<cv::Vec3f> line(static_cast<std::size_t>(map.cols));
  for (int y = 0; y < canvas.rows; ++y) {
    const float fy =
        std::max(0.0F, (static_cast<float>(y) + 0.5F) / static_cast<float>(block) - 0.5F);
    const int y0 = std::min(static_cast<int>(fy), map.rows - 1);
    const int y1 = std::min(y0 + 1, map.rows - 1);
    const float wy = fy - static_cast<float>(y0);
    for (int x = 0; x < map.cols; ++x) {
      line[static_cast<std::size_t>(x)] =
          map.at<cv::Vec3f>(y0, x) * (1.0F - wy) + map.at<cv::Vec3f>(y1, x) * wy;
    }
    auto* row = canvas.ptr<cv::Vec<std::uint16_t, 3>>(y);
    for (int x = 0; x < canvas.cols; ++x) {
      const float fx =
          std::max(0.0F, (static_cast<float>(x) + 0.5F) / static_cast<float>(block) - 0.5F);
      const int x0 = std::min(static_cast<int>(fx), map.cols - 1);
      const int x1 = std::min(x0 + 1, map.cols - 1);
      const float wx = fx - static_cast<float>(x0);
      const cv::Vec3f& a = line[static_cast<std::size_t>(x0)];
      const cv::Vec3f& b = line[static_cast<std::size_t>(x1)];
      for (int k = 0; k < 3; ++k) {
        row[x][k] =
            static_cast<std::uint16_t>(std::min(65535.0F, row[x][k] * (a[k] + wx * (b[k] - a[k]))));
      }
    }
  }
}

cv::Size MapSize(cv::Size photo, int block) {
  return {(photo.width + block - 1) / block, (photo.height + block - 1) / block};
}

}  // namespace

void ShadeBoard(cv::Mat& canvas, const Scene& scene, const Recipe& r) {
  if (r.shadow <= 0) return;
  // Shade on the board at 1 px/mm round the pieces.
  cv::Rect2d box;
  for (const Piece& piece : scene.pieces) {
    const std::vector<cv::Point2f> ring(piece.outline.begin(), piece.outline.end());
    const cv::Rect2f b = cv::boundingRect(ring);
    box = box.area() > 0 ? (box | cv::Rect2d(b)) : cv::Rect2d(b);
  }
  constexpr int kRoom = 120;
  const cv::Point2d origin(box.x - kRoom, box.y - kRoom);
  const cv::Size size(static_cast<int>(box.width) + 2 * kRoom,
                      static_cast<int>(box.height) + 2 * kRoom);
  const double reach =
      std::min(90.0, r.thickness_mm / std::tan(r.light_elevation_deg * kRadPerDeg));
  const cv::Point2d away(-std::cos(r.light_azimuth_deg * kRadPerDeg),
                         -std::sin(r.light_azimuth_deg * kRadPerDeg));
  cv::Mat cast(size, CV_8U, cv::Scalar(0));
  cv::Mat under(size, CV_8U, cv::Scalar(0));
  constexpr int kLayers = 14;
  for (const Piece& piece : scene.pieces) {
    for (int k = 0; k <= kLayers; ++k) {
      std::vector<cv::Point> ring;
      const cv::Point2d shift = away * (reach * k / kLayers);
      for (const cv::Point2d& p : piece.outline)
        ring.emplace_back(cvRound(p.x + shift.x - origin.x), cvRound(p.y + shift.y - origin.y));
      cv::fillPoly(cast, std::vector<std::vector<cv::Point>>{ring}, cv::Scalar(255));
      if (k == 0) cv::fillPoly(under, std::vector<std::vector<cv::Point>>{ring}, cv::Scalar(255));
    }
  }
  cv::GaussianBlur(cast, cast, {}, 1.0 + 0.12 * r.thickness_mm);
  cv::GaussianBlur(under, under, {}, 1.5 + 0.12 * r.thickness_mm);
  constexpr int kFine = 6;
  const cv::Matx33d board_from_px = scene.camera.PxFromPlane(0.0).inv();
  cv::Mat map(MapSize(canvas.size(), kFine), CV_32FC3);
  for (int y = 0; y < map.rows; ++y) {
    for (int x = 0; x < map.cols; ++x) {
      const cv::Vec3d v = board_from_px * cv::Vec3d((x + 0.5) * kFine, (y + 0.5) * kFine, 1);
      const int bx = static_cast<int>(v[0] / v[2] - origin.x);
      const int by = static_cast<int>(v[1] / v[2] - origin.y);
      float light = 1.0F;
      if (bx >= 0 && by >= 0 && bx < size.width && by < size.height) {
        light -= static_cast<float>(r.shadow) * cast.at<std::uint8_t>(by, bx) / 255.0F;
        light *= 1.0F - 0.45F * under.at<std::uint8_t>(by, bx) / 255.0F;
      }
      map.at<cv::Vec3f>(y, x) = cv::Vec3f::all(std::max(0.05F, light));
    }
  }
  Multiply(canvas, map, kFine);
}

double LightScene(cv::Mat& canvas, const Scene& scene, const Recipe& r) {
  math::Rng rng = math::Rng(r.seed).Fork(1200);
  const cv::Matx33d face_from_px = scene.camera.PxFromPlane(r.thickness_mm).inv();
  std::vector<cv::Point2f> all;
  for (const cv::Point2d& p : scene.pieces.front().outline) all.emplace_back(p);
  const cv::Rect2f face = cv::boundingRect(all);
  const cv::Point2d middle(face.x + face.width / 2, face.y + face.height / 2);
  const double azimuth = r.falloff_azimuth_deg * kRadPerDeg;
  const cv::Point2d way(std::cos(azimuth), std::sin(azimuth));
  const double extent = std::abs(way.x) * face.width + std::abs(way.y) * face.height;
  const double log_ratio = std::log(std::max(1.0, r.falloff));
  const double bend = rng.Uniform(-0.25, 0.25);
  const double warm = rng.Normal(0, 0.05);
  const double cool = rng.Normal(0, 0.05);
  const double tint = rng.Uniform(0, 6.28);
  const double edge_angle = rng.Uniform(0, 6.28);
  const double edge_at = rng.Uniform(-0.3, 0.3) * face.width;
  const double edge_soft = rng.Uniform(3, 12);
  const double edge_dark = rng.Uniform(0.25, 0.55);
  const double corner2 = 0.25 * (static_cast<double>(canvas.cols) * canvas.cols +
                                 static_cast<double>(canvas.rows) * canvas.rows);
  cv::Mat map(MapSize(canvas.size(), kBlock), CV_32FC3);
  double brightest = 0.0;
  for (int y = 0; y < map.rows; ++y) {
    for (int x = 0; x < map.cols; ++x) {
      const double u = (x + 0.5) * kBlock;
      const double v = (y + 0.5) * kBlock;
      const cv::Vec3d w = face_from_px * cv::Vec3d(u, v, 1);
      const cv::Point2d p = cv::Point2d(w[0] / w[2], w[1] / w[2]) - middle;
      double t = std::clamp(p.dot(way) / extent, -1.1, 1.1);
      const double across = std::clamp(p.cross(way) / extent, -1.1, 1.1);
      t += bend * across * across;
      double light = std::exp(log_ratio * std::clamp(t, -1.0, 1.0));
      const double du = u - 0.5 * canvas.cols;
      const double dv = v - 0.5 * canvas.rows;
      light *= 1.0 - r.vignetting * (du * du + dv * dv) / corner2;
      brightest = std::max(brightest, light);
      if (r.shadow_on_face) {
        const double d = p.x * std::cos(edge_angle) + p.y * std::sin(edge_angle) - edge_at;
        light *= 1.0 - edge_dark / (1.0 + std::exp(-d / edge_soft));
      }
      const double side = p.x / 100.0 * std::cos(tint) + p.y / 100.0 * std::sin(tint);
      const double l = std::clamp(side, -1.5, 1.5);
      map.at<cv::Vec3f>(y, x) =
          cv::Vec3f(static_cast<float>(light * (1 + warm * l)), static_cast<float>(light),
                    static_cast<float>(light * (1 + cool * l)));
    }
  }
  Multiply(canvas, map, kBlock);
  const bool pale = r.card || r.ground == GroundKind::kWhiteBoard ||
                    r.ground == GroundKind::kPaper || r.ground == GroundKind::kSteel ||
                    r.ground == GroundKind::kPureWhite;
  const double gain = std::max({1.0, r.red_gain, r.blue_gain});
  // The camera's meter keeps white paper below clipping where there is some; else it opens up for
  // the meat.
  const double room = pale ? 1.06 / (0.9 * gain * std::min(brightest, 2.2))
                           : 1.25 / std::sqrt(std::min(brightest, 2.2));
  return r.exposure * room;
}

}  // namespace ribwright::phantom
