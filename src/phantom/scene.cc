// SPDX-License-Identifier: Apache-2.0
#include "phantom/scene.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "math/rng.h"
#include "phantom/anatomy.h"
#include "phantom/flecks.h"
#include "phantom/ground_meat.h"
#include "phantom/membrane.h"
#include "phantom/truth.h"
#include "photo/card_layout.h"

namespace ribwright::phantom {
namespace {

using math::Rng;
constexpr double kPi = 3.14159265358979323846;

Piece MakePiece(const Recipe& recipe) {
  Piece piece;
  piece.recipe = recipe;
  piece.face = RasterFromPlan(DrawPlan(recipe), recipe);
  if (recipe.altered == Altered::kGround) {
    GrindFace(piece.face, recipe);
    return piece;
  }
  DrawFlecks(piece.face, recipe);
  BiteFlecks(piece.face, recipe);
  DrawConnectiveLines(piece.face, recipe);
  DrawSilverskin(piece.face, recipe);
  return piece;
}

// A neighbour from the same animal: other seed, next rib, a little more or less marbling.
Recipe Neighbour(const Recipe& recipe, int index) {
  Rng rng = Rng(recipe.seed).Fork(800 + static_cast<std::uint64_t>(index));
  Recipe next = recipe;
  next.seed = (std::uint64_t{rng.Next()} << 32U) | rng.Next();
  next.rib = std::clamp(recipe.rib + static_cast<int>(rng.Below(3)) - 1, 6, 12);
  next.eye_marbling = std::clamp(recipe.eye_marbling * std::exp(rng.Normal(0, 0.2)), 0.002, 0.55);
  next.lean.L = std::clamp(next.lean.L + rng.Normal(0, 0.8), 28.0, 48.0);
  return next;
}

void Place(Piece& piece, double angle, bool mirrored, cv::Point2d at) {
  const double m = mirrored ? -1.0 : 1.0;
  const double c = std::cos(angle);
  const double s = std::sin(angle);
  piece.world_from_face = cv::Matx33d(c * m, -s, at.x, s * m, c, at.y, 0, 0, 1);
  piece.outline.clear();
  const std::vector<MmRing> rings =
      RingsOf(piece.face.label != static_cast<int>(kOutside), piece.face, 1.0);
  if (rings.empty()) return;
  for (const cv::Point2d& p : rings.front()) piece.outline.push_back(piece.WorldFromFace(p));
}

void Shift(Piece& piece, cv::Point2d by) {
  piece.world_from_face(0, 2) += by.x;
  piece.world_from_face(1, 2) += by.y;
  for (cv::Point2d& p : piece.outline) p += by;
}

std::vector<cv::Point2f> Floats(const MmRing& ring) { return {ring.begin(), ring.end()}; }

// Moves `next` along `way` from `fixed` until they lie `gap` apart, by whole millimetres.
void PushApart(const std::vector<Piece>& fixed, Piece& next, cv::Point2d way, double gap) {
  const auto clear = [&](double d) {
    for (const Piece& f : fixed) {
      const std::vector<cv::Point2f> ring = Floats(f.outline);
      for (std::size_t i = 0; i < next.outline.size(); i += 2) {
        const cv::Point2d p = next.outline[i] + d * way;
        if (cv::pointPolygonTest(ring, cv::Point2f(p), true) > -gap) return false;
      }
    }
    return true;
  };
  double d = 20.0;
  while (d < 1200.0 && !clear(d)) d += 8.0;
  while (d > 20.0 && clear(d - 0.5)) d -= 0.5;
  Shift(next, d * way);
}

struct Box {
  cv::Point2d low{1e18, 1e18}, high{-1e18, -1e18};
  void Add(cv::Point2d p) {
    low = {std::min(low.x, p.x), std::min(low.y, p.y)};
    high = {std::max(high.x, p.x), std::max(high.y, p.y)};
  }
};

// Beside the meat, on a side where the piece's height does not hide it from this camera.
cv::Matx33d PlaceCard(const Recipe& recipe, const Box& box, double width, double height, Rng rng) {
  const cv::Matx33d rotation = CameraRotation(recipe);
  const cv::Point2d view(rotation(2, 0), rotation(2, 1));
  const double lean =
      recipe.thickness_mm * std::sqrt(view.dot(view)) / std::max(0.3, -rotation(2, 2));
  int side = static_cast<int>(rng.Below(4));
  const std::array<cv::Point2d, 4> sides{{{0, 1}, {1, 0}, {0, -1}, {-1, 0}}};
  for (int i = 0; i < 4 && lean > 6.0 && sides[static_cast<std::size_t>(side)].dot(view) > 0.2; ++i)
    side = (side + 1) % 4;
  const cv::Point2d way = sides[static_cast<std::size_t>(side)];
  const double hidden =
      1.3 * recipe.thickness_mm * std::max(0.0, way.dot(view)) / std::max(0.3, -rotation(2, 2));
  const double gap = rng.Uniform(8, 24) + std::min(hidden, 70.0) + 0.12 * recipe.thickness_mm;
  const cv::Point2d half = 0.5 * (box.high - box.low);
  const cv::Point2d middle = 0.5 * (box.high + box.low);
  const double reach = std::abs(way.x) * half.x + std::abs(way.y) * half.y + gap + 0.5 * height;
  cv::Point2d at = middle + reach * way;
  at += rng.Uniform(-15, 15) * cv::Point2d(way.y, way.x);
  const double angle = side * kPi / 2 + (rng.Chance(0.5) ? kPi : 0.0) + rng.Normal(0, 0.06);
  const double c = std::cos(angle);
  const double s = std::sin(angle);
  return cv::Matx33d(c, -s, at.x, s, c, at.y, 0, 0, 1) *
         cv::Matx33d(1, 0, -width / 2, 0, 1, -height / 2, 0, 0, 1);
}

// Keeps a part of the frame round some place on the first piece.
void KeepWindow(Camera& camera, const cv::Vec3d& middle, cv::Point2d half, int side, Rng rng) {
  const cv::Vec3d place(middle[0] + rng.Uniform(-0.9, 0.9) * half.x,
                        middle[1] + rng.Uniform(-0.9, 0.9) * half.y, middle[2]);
  const cv::Point2d px = camera.PxFromWorld(place);
  const cv::Size size(std::min(side, camera.size.width), std::min(side, camera.size.height));
  const int x =
      std::clamp(static_cast<int>(px.x) - size.width / 2, 0, camera.size.width - size.width);
  const int y =
      std::clamp(static_cast<int>(px.y) - size.height / 2, 0, camera.size.height - size.height);
  camera.middle -= cv::Point2d(x, y);
  camera.size = size;
}

}  // namespace

Scene BuildScene(const Recipe& recipe) {
  Rng rng = Rng(recipe.seed).Fork(900);
  Scene scene;
  for (int i = 0; i < recipe.pieces; ++i) {
    Piece piece = MakePiece(i == 0 ? recipe : Neighbour(recipe, i));
    const double angle = rng.Uniform(-0.35, 0.35) + (rng.Chance(0.5) ? kPi : 0.0);
    const bool mirrored = rng.Chance(0.5);
    Place(piece, angle, mirrored, {0, 0});
    if (i > 0) {
      const double way = rng.Uniform(-0.5, 0.5) + (i == 1 ? 0.0 : kPi / 2);
      PushApart(scene.pieces, piece, {std::cos(way), std::sin(way)},
                recipe.touching ? 0.0 : rng.Uniform(6, 25));
    }
    scene.pieces.push_back(std::move(piece));
  }
  Box box;
  std::vector<cv::Vec3d> seen;
  for (const Piece& piece : scene.pieces) {
    for (const cv::Point2d& p : piece.outline) {
      box.Add(p);
      seen.emplace_back(p.x, p.y, recipe.thickness_mm);
      seen.emplace_back(p.x, p.y, 0.0);
    }
  }
  scene.has_card = recipe.card;
  if (recipe.card) {
    const double width = photo::kCardWidthMm * recipe.printer_scale_x;
    const double height = photo::kCardHeightMm * recipe.printer_scale_y;
    scene.world_from_card = PlaceCard(recipe, box, width, height, rng.Fork(1));
    for (const cv::Point2d& p : {cv::Point2d(0, 0), {width, 0}, {width, height}, {0, height}}) {
      const cv::Vec3d v = scene.world_from_card * cv::Vec3d(p.x, p.y, 1);
      seen.emplace_back(v[0], v[1], 0.0);
    }
  }
  Box first;
  for (const cv::Point2d& p : scene.pieces.front().outline) first.Add(p);
  const cv::Point2d middle = 0.5 * (first.low + first.high);
  scene.camera = PlaceCamera(recipe, {middle.x, middle.y, recipe.thickness_mm}, seen);
  if (recipe.window_px > 0)
    KeepWindow(scene.camera, {middle.x, middle.y, recipe.thickness_mm},
               0.5 * (first.high - first.low), recipe.window_px, rng.Fork(2));
  return scene;
}

}  // namespace ribwright::phantom
