// SPDX-License-Identifier: Apache-2.0
#include "grade/outline_shape.h"

#include <cmath>

namespace ribwright::grade {
namespace {

struct Moments {
  double area = 0.0;
  double x = 0.0;
  double y = 0.0;
  double xx = 0.0;
  double xy = 0.0;
  double yy = 0.0;

  void Add(const Moments& m, double factor) {
    area += factor * m.area;
    x += factor * m.x;
    y += factor * m.y;
    xx += factor * m.xx;
    xy += factor * m.xy;
    yy += factor * m.yy;
  }
};

// Green's theorem about `origin`, so that far-away coordinates do not cancel digits.
Moments RingMoments(const report::Ring& ring, const report::Point& origin) {
  Moments m;
  for (std::size_t i = 0; i < ring.size(); ++i) {
    const report::Point& p = ring[i];
    const report::Point& q = ring[(i + 1) % ring.size()];
    const double px = p.x - origin.x;
    const double py = p.y - origin.y;
    const double qx = q.x - origin.x;
    const double qy = q.y - origin.y;
    const double cross = px * qy - qx * py;
    m.area += cross / 2.0;
    m.x += cross * (px + qx) / 6.0;
    m.y += cross * (py + qy) / 6.0;
    m.xx += cross * (px * px + px * qx + qx * qx) / 12.0;
    m.yy += cross * (py * py + py * qy + qy * qy) / 12.0;
    m.xy += cross * (2.0 * px * py + px * qy + qx * py + 2.0 * qx * qy) / 24.0;
  }
  return m;
}

bool Inside(const report::Point& point, const report::Ring& ring) {
  bool inside = false;
  for (std::size_t i = 0, j = ring.size() - 1; i < ring.size(); j = i++) {
    const report::Point& a = ring[i];
    const report::Point& b = ring[j];
    if ((a.y > point.y) != (b.y > point.y) &&
        point.x < (b.x - a.x) * (point.y - a.y) / (b.y - a.y) + a.x) {
      inside = !inside;
    }
  }
  return inside;
}

Moments OutlineMoments(const report::Outline& outline) {
  Moments total;
  if (outline.empty() || outline.front().empty()) return total;
  const report::Point origin = outline.front().front();
  for (std::size_t i = 0; i < outline.size(); ++i) {
    if (outline[i].size() < 3) continue;
    int depth = 0;
    for (std::size_t j = 0; j < outline.size(); ++j) {
      if (j != i && outline[j].size() >= 3 && Inside(outline[i].front(), outline[j])) ++depth;
    }
    const Moments m = RingMoments(outline[i], origin);
    const double sign = (m.area < 0.0 ? -1.0 : 1.0) * (depth % 2 == 0 ? 1.0 : -1.0);
    total.Add(m, sign);
  }
  return total;
}

}  // namespace

double OutlineArea(const report::Outline& outline) { return OutlineMoments(outline).area; }

std::optional<double> AxisRatio(const report::Outline& outline) {
  const Moments m = OutlineMoments(outline);
  if (!(m.area > 0.0)) return std::nullopt;
  const double mx = m.x / m.area;
  const double my = m.y / m.area;
  const double xx = m.xx / m.area - mx * mx;
  const double yy = m.yy / m.area - my * my;
  const double xy = m.xy / m.area - mx * my;
  const double mid = 0.5 * (xx + yy);
  const double half = std::hypot(0.5 * (xx - yy), xy);
  const double major = mid + half;
  const double minor = mid - half;
  if (!(major > 0.0) || !std::isfinite(major)) return std::nullopt;
  return minor > 0.0 ? std::sqrt(minor / major) : 0.0;
}

}  // namespace ribwright::grade
