// SPDX-License-Identifier: Apache-2.0
#include "report/outline_area.h"

#include <cmath>

namespace ribwright::report {
namespace {

double RingArea(const Ring& ring) {
  double twice = 0.0;
  for (std::size_t i = 0, j = ring.size() - 1; i < ring.size(); j = i++) {
    twice += ring[j].x * ring[i].y - ring[i].x * ring[j].y;
  }
  return std::abs(twice) / 2.0;
}

bool Inside(const Ring& ring, const Point& p) {
  bool inside = false;
  for (std::size_t i = 0, j = ring.size() - 1; i < ring.size(); j = i++) {
    const Point& a = ring[i];
    const Point& b = ring[j];
    if ((a.y > p.y) == (b.y > p.y)) continue;
    if (p.x < (b.x - a.x) * (p.y - a.y) / (b.y - a.y) + a.x) inside = !inside;
  }
  return inside;
}

}  // namespace

double OutlineArea(const Outline& outline) {
  double area = 0.0;
  for (std::size_t i = 0; i < outline.size(); ++i) {
    if (outline[i].empty()) continue;
    int depth = 0;
    for (std::size_t j = 0; j < outline.size(); ++j) {
      if (i != j && !outline[j].empty() && Inside(outline[j], outline[i].front())) ++depth;
    }
    area += (depth % 2 == 0 ? 1.0 : -1.0) * RingArea(outline[i]);
  }
  return area;
}

}  // namespace ribwright::report
