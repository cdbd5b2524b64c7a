// SPDX-License-Identifier: Apache-2.0
#include "phantom/curves.h"

#include <array>
#include <cmath>

namespace ribwright::phantom {
namespace {

constexpr double kPi = 3.14159265358979323846;
constexpr int kLandmarks = 11;
constexpr int kRingPoints = 160;

double CatmullRom(double p0, double p1, double p2, double p3, double t) {
  return 0.5 * (2 * p1 + (p2 - p0) * t + (2 * p0 - 5 * p1 + 4 * p2 - p3) * t * t +
                (3 * p1 - p0 - 3 * p2 + p3) * t * t * t);
}

}  // namespace

cv::Point2d AtAngle(cv::Point2d centre, double radius, double angle_deg) {
  const double a = angle_deg * kPi / 180.0;
  return {centre.x + radius * std::cos(a), centre.y - radius * std::sin(a)};
}

MmRing OvalRing(const Oval& oval, math::Rng& rng) {
  std::array<double, kLandmarks> swell;
  for (double& s : swell) s = 1.0 + oval.irregular * rng.Normal();
  MmRing ring;
  ring.reserve(kRingPoints);
  const double turn = oval.turn_deg * kPi / 180.0;
  for (int i = 0; i < kRingPoints; ++i) {
    const double angle = 2 * kPi * i / kRingPoints;
    const double at = static_cast<double>(kLandmarks) * i / kRingPoints;
    const int k = static_cast<int>(at);
    const auto s = [&](int j) {
      return swell[static_cast<std::size_t>((j + kLandmarks) % kLandmarks)];
    };
    const double factor = CatmullRom(s(k - 1), s(k), s(k + 1), s(k + 2), at - k);
    const double c = std::cos(angle);
    const double sn = std::sin(angle);
    const double power = 2.0 / oval.squareness;
    const double x = factor * oval.semi_long * std::copysign(std::pow(std::abs(c), power), c);
    const double y = factor * oval.semi_short * std::copysign(std::pow(std::abs(sn), power), sn);
    ring.emplace_back(oval.centre.x + x * std::cos(turn) - y * std::sin(turn),
                      oval.centre.y - (x * std::sin(turn) + y * std::cos(turn)));
  }
  return ring;
}

double RadiusAt(const MmRing& ring, cv::Point2d centre, double angle_deg) {
  const cv::Point2d d = AtAngle({0, 0}, 1.0, angle_deg);
  double radius = 0.0;
  for (std::size_t i = 0; i < ring.size(); ++i) {
    const cv::Point2d p = ring[i] - centre;
    const cv::Point2d e = ring[(i + 1) % ring.size()] - centre - p;
    const double cross = d.cross(e);
    if (std::abs(cross) < 1e-12) continue;
    const double along_ray = p.cross(e) / cross;
    const double along_edge = p.cross(d) / cross;
    if (along_edge >= 0 && along_edge < 1 && along_ray > radius) radius = along_ray;
  }
  return radius;
}

MmRing Band(const MmRing& base, cv::Point2d centre, double angle_from, double angle_to,
            const std::function<double(double)>& inner,
            const std::function<double(double)>& outer) {
  constexpr int kSteps = 60;
  MmRing ring;
  for (int i = 0; i <= kSteps; ++i) {
    const double u = static_cast<double>(i) / kSteps;
    const double angle = angle_from + (angle_to - angle_from) * u;
    ring.push_back(AtAngle(centre, RadiusAt(base, centre, angle) + outer(u), angle));
  }
  for (int i = kSteps; i >= 0; --i) {
    const double u = static_cast<double>(i) / kSteps;
    const double angle = angle_from + (angle_to - angle_from) * u;
    ring.push_back(AtAngle(centre, RadiusAt(base, centre, angle) + inner(u), angle));
  }
  return ring;
}

}  // namespace ribwright::phantom
