// SPDX-License-Identifier: Apache-2.0
#include "phantom/render.h"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <opencv2/imgproc.hpp>

#include "math/rng.h"
#include "phantom/cut_out.h"
#include "phantom/ground.h"
#include "phantom/light.h"
#include "phantom/scene.h"
#include "phantom/sensor.h"
#include "phantom/stamp.h"
#include "phantom/surface.h"
#include "phantom/truth.h"
#include "phantom/wall.h"
#include "phantom/warp.h"
#include "photo/encode.h"
#include "photo/exif.h"

namespace ribwright::phantom {
namespace {

// Photo pixel indices from texture pixel indices, centres at +0.5 on both sides.
cv::Matx33d IndexMap(const cv::Matx33d& px_from_mm, cv::Point2d origin_mm, double px_per_mm) {
  const cv::Matx33d mm_from_texture(1 / px_per_mm, 0, origin_mm.x + 0.5 / px_per_mm, 0,
                                    1 / px_per_mm, origin_mm.y + 0.5 / px_per_mm, 0, 0, 1);
  const cv::Matx33d index_from_px(1, 0, -0.5, 0, 1, -0.5, 0, 0, 1);
  return index_from_px * px_from_mm * mm_from_texture;
}

// A printed sheet laid on the photo.
void LayCard(cv::Mat& canvas, const cv::Mat& look, const cv::Matx33d& map) {
  const cv::Rect box = Landing(map, look.size(), canvas.size());
  if (box.area() == 0) return;
  const cv::Matx33d to_box(1, 0, -box.x, 0, 1, -box.y, 0, 0, 1);
  const cv::Mat over = WarpLinear(look, (to_box * map).inv(), box.size(), Outside::kEmpty);
  cv::Mat under = canvas(box);
  for (int y = 0; y < box.height; ++y) {
    auto* c = under.ptr<Pixel3>(y);
    const auto* o = over.ptr<Pixel4>(y);
    for (int x = 0; x < box.width; ++x) {
      if (o[x][3] > 0) c[x] = Over(o[x], c[x]);
    }
  }
}

// The board as the photo sees it.
cv::Mat GroundInPhoto(const Recipe& recipe, const Camera& camera, double px_per_mm) {
  const cv::Matx33d px_from_board = camera.PxFromPlane(0.0);
  const cv::Matx33d board_from_px = px_from_board.inv();
  constexpr double kReachMm = 700.0;
  cv::Point2d low(1e18, 1e18), high(-1e18, -1e18);
  for (int i = 0; i <= 8; ++i) {
    for (int j = 0; j <= 8; ++j) {
      const cv::Vec3d v =
          board_from_px * cv::Vec3d(camera.size.width * i / 8.0, camera.size.height * j / 8.0, 1);
      const cv::Point2d p(v[0] / v[2], v[1] / v[2]);
      low = {std::min(low.x, p.x), std::min(low.y, p.y)};
      high = {std::max(high.x, p.x), std::max(high.y, p.y)};
    }
  }
  low = {std::max(low.x, -kReachMm), std::max(low.y, -kReachMm)};
  high = {std::min(high.x, kReachMm), std::min(high.y, kReachMm)};
  const cv::Point2d extent = high - low;
  const double scale =
      std::min(0.55 * px_per_mm, std::sqrt(1.8e6 / std::max(1.0, extent.x * extent.y)));
  const cv::Size size(std::max(8, static_cast<int>(extent.x * scale)),
                      std::max(8, static_cast<int>(extent.y * scale)));
  const cv::Mat texture = PaintGround(size, scale, recipe);
  // The board's texture is about half as fine as the photo, so every second pixel is enough.
  const cv::Size half((camera.size.width + 1) / 2, (camera.size.height + 1) / 2);
  const cv::Matx33d photo_from_half(2, 0, 0.5, 0, 2, 0.5, 0, 0, 1);  // pixel indices
  const cv::Matx33d texture_from_photo = IndexMap(px_from_board, low, scale).inv();
  const cv::Mat seen =
      WarpLinear(texture, texture_from_photo * photo_from_half, half, Outside::kMirror);
  cv::Mat ground;
  cv::resize(seen, ground, {2 * half.width, 2 * half.height}, 0, 0, cv::INTER_LINEAR);
  return ground(cv::Rect({}, camera.size));
}

report::Lab ExactLab(const PaintLab& lab) {
  return {Measured::Exact(lab.L, "1"), Measured::Exact(lab.a, "1"), Measured::Exact(lab.b, "1")};
}

}  // namespace

Result<Phantom> Render(const Recipe& recipe) {
  Phantom phantom;
  phantom.recipe = recipe;
  phantom.thickness_mm = recipe.thickness_mm;
  Scene scene = BuildScene(recipe);
  phantom.camera = scene.camera;
  const cv::Size size = scene.camera.size;
  cv::Mat canvas = GroundInPhoto(recipe, scene.camera, recipe.px_per_mm);

  phantom.has_card = scene.has_card;
  if (scene.has_card) {
    // Ink creeps by 0.05 mm, so 16 px/mm keep all of its edges.
    const PrintedCard card = PrintCard(recipe, std::min(1.25 * recipe.px_per_mm, 16.0));
    phantom.px_from_card = scene.camera.PxFromPlane(0.0) * scene.world_from_card;
    phantom.card_ruler_mm = card.ruler_mm;
    phantom.card_patches = card.patches;
    const cv::Matx33d map = IndexMap(phantom.px_from_card, {0, 0}, card.px_per_mm);
    LayCard(canvas, card.look, map);
  }
  // An empty board keeps camera and light; the pieces that placed them are not painted.
  const bool empty = recipe.altered == Altered::kEmpty;
  if (!empty) ShadeBoard(canvas, scene, recipe);

  Layers layers{cv::Mat(size, CV_8U, cv::Scalar(0)), cv::Mat(size, CV_8U, cv::Scalar(0)),
                cv::Mat(size, CV_8U, cv::Scalar(0)), cv::Mat(size, CV_8U, cv::Scalar(0))};
  phantom.truth.method = {"phantom truth", RIBWRIGHT_VERSION};
  phantom.truth.width_px = size.width;
  phantom.truth.height_px = size.height;
  for (const Piece& piece : scene.pieces) {
    if (!empty) PaintWall(canvas, piece, scene.camera, recipe);
  }
  std::vector<report::Face> faces;
  std::vector<PhantomFace> places;
  for (Piece& piece : scene.pieces) {
    if (empty) break;
    const cv::Matx33d px_from_mm =
        scene.camera.PxFromPlane(recipe.thickness_mm) * piece.world_from_face;
    const Surface surface = PaintSurface(piece.face, piece.recipe, 1.15 * recipe.px_per_mm);
    const cv::Matx33d map = IndexMap(px_from_mm, surface.origin_mm, surface.px_per_mm);
    report::Face face = MeasureFace(piece.face, [&](cv::Point2d p) {
      const cv::Vec3d v = px_from_mm * cv::Vec3d(p.x, p.y, 1);
      return cv::Point2d(v[0] / v[2], v[1] / v[2]);
    });
    face.lean_colour = ExactLab(surface.lean);
    face.fat_colour = ExactLab(surface.fat_colour);
    if (recipe.cut == Cut::kRib && recipe.altered != Altered::kGround) {
      const std::string name = std::to_string(piece.recipe.rib);
      face.rib_position = {name, {{name, 1.0}}, "as drawn"};
    }
    const StampCount count = StampFace(surface, piece.face, map, canvas, layers);
    face.area_px = static_cast<double>(count.face);
    face.unreadable_pct =
        count.face > 0 ? 100.0 * static_cast<double>(count.glare) / static_cast<double>(count.face)
                       : 0.0;
    faces.push_back(std::move(face));
    places.push_back({px_from_mm});
    piece.face = FaceRaster{};  // its memory is wanted for the next
  }
  std::vector<std::size_t> order(faces.size());
  std::iota(order.begin(), order.end(), 0U);
  std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
    return *faces[a].area.value > *faces[b].area.value;
  });
  for (std::size_t i : order) {
    phantom.truth.faces.push_back(std::move(faces[i]));
    phantom.faces.push_back(places[i]);
  }
  phantom.truth.scale = {true, Measured::Exact(recipe.px_per_mm, "px/mm"),
                         recipe.card ? report::ScaleSource::kCard : report::ScaleSource::kUser};
  phantom.truth.colour = {true, "entered patch values", 0.0};
  phantom.tissue = layers.tissue;
  phantom.muscle = layers.muscle;
  phantom.fat = layers.fat;
  phantom.line = layers.line;

  const double exposure = LightScene(canvas, scene, recipe);
  phantom.rgb = Expose(canvas, recipe, exposure);
  if (IsCutOut(recipe.ground)) CutOut(phantom.rgb, scene, recipe);
  canvas.release();
  photo::JpegOptions options;
  options.quality = recipe.jpeg_quality;
  options.chroma = recipe.chroma_half ? photo::ChromaGrid::kHalf : photo::ChromaGrid::kFull;
  // A phone's main lens: its own length follows from a sensor of 9.6 mm diagonal (`assumed`).
  // The 35 mm figure speaks of the whole frame, so a window of it carries none.
  if (recipe.window_px == 0) {
    options.exif =
        photo::WriteExif({1, recipe.focal_35mm * 9.6 / kFrameDiagonalMm, recipe.focal_35mm});
  }
  Result<std::vector<std::uint8_t>> jpeg = photo::EncodeJpeg(phantom.rgb, options);
  if (!jpeg) return Fail(jpeg.error());
  phantom.jpeg = std::move(*jpeg);
  return phantom;
}

}  // namespace ribwright::phantom
