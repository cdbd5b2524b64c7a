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
#include "phantom/surface.h"
#include "phantom/truth.h"
#include "phantom/wall.h"
#include "phantom/warp.h"
#include "photo/encode.h"
#include "photo/exif.h"
#include "report/tissue.h"

namespace ribwright::phantom {
namespace {

using Pixel4 = cv::Vec<std::uint16_t, 4>;
using Pixel3 = cv::Vec<std::uint16_t, 3>;

// Photo pixel indices from texture pixel indices, centres at +0.5 on both sides.
cv::Matx33d IndexMap(const cv::Matx33d& px_from_mm, cv::Point2d origin_mm, double px_per_mm) {
  const cv::Matx33d mm_from_texture(1 / px_per_mm, 0, origin_mm.x + 0.5 / px_per_mm, 0,
                                    1 / px_per_mm, origin_mm.y + 0.5 / px_per_mm, 0, 0, 1);
  const cv::Matx33d index_from_px(1, 0, -0.5, 0, 1, -0.5, 0, 0, 1);
  return index_from_px * px_from_mm * mm_from_texture;
}

// Where a texture lands in the photo.
cv::Rect Landing(const cv::Matx33d& map, cv::Size texture, cv::Size photo) {
  double x0 = 1e18, y0 = 1e18, x1 = -1e18, y1 = -1e18;
  for (const cv::Point2d& c : {cv::Point2d(0, 0),
                               {1.0 * texture.width, 0},
                               {1.0 * texture.width, 1.0 * texture.height},
                               {0, 1.0 * texture.height}}) {
    const cv::Vec3d v = map * cv::Vec3d(c.x, c.y, 1);
    x0 = std::min(x0, v[0] / v[2]);
    x1 = std::max(x1, v[0] / v[2]);
    y0 = std::min(y0, v[1] / v[2]);
    y1 = std::max(y1, v[1] / v[2]);
  }
  const cv::Rect box(static_cast<int>(std::floor(x0)) - 1, static_cast<int>(std::floor(y0)) - 1,
                     static_cast<int>(std::ceil(x1 - x0)) + 3,
                     static_cast<int>(std::ceil(y1 - y0)) + 3);
  return box & cv::Rect({}, photo);
}

cv::Mat Warp(const cv::Mat& texture, const cv::Matx33d& map, cv::Rect box, int interpolation) {
  const cv::Matx33d to_box(1, 0, -box.x, 0, 1, -box.y, 0, 0, 1);
  if (texture.depth() == CV_16U) {
    return WarpLinear(texture, (to_box * map).inv(), box.size(), Outside::kEmpty);
  }
  cv::Mat out;
  cv::warpPerspective(texture, out, to_box * map, box.size(), interpolation, cv::BORDER_CONSTANT,
                      cv::Scalar::all(0));
  return out;
}

void Blend(cv::Mat canvas, const cv::Mat& over) {
  for (int y = 0; y < canvas.rows; ++y) {
    auto* c = canvas.ptr<Pixel3>(y);
    const auto* o = over.ptr<Pixel4>(y);
    for (int x = 0; x < canvas.cols; ++x) {
      const int alpha = o[x][3];
      if (alpha == 0) continue;
      const int rest = static_cast<int>(kUnit) - alpha;
      for (int k = 0; k < 3; ++k)
        c[x][k] =
            cv::saturate_cast<std::uint16_t>(o[x][k] + c[x][k] * rest / static_cast<int>(kUnit));
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
  return WarpLinear(texture, IndexMap(px_from_board, low, scale).inv(), camera.size,
                    Outside::kMirror);
}

struct Layers {  // photo-grid truth
  cv::Mat tissue, muscle, fat, line;
};

void StampTruth(Layers& layers, const Surface& surface, const FaceRaster& face,
                const cv::Matx33d& map, cv::Rect box) {
  const cv::Mat label = Warp(surface.label, map, box, cv::INTER_NEAREST);
  const cv::Mat fat = Warp(surface.fat, map, box, cv::INTER_LINEAR);
  const cv::Mat line = Warp(surface.line, map, box, cv::INTER_LINEAR);
  const cv::Mat glare = Warp(surface.glare, map, box, cv::INTER_LINEAR);
  using report::Tissue;
  for (int y = 0; y < box.height; ++y) {
    std::uint8_t* tissue = layers.tissue.ptr<std::uint8_t>(box.y + y) + box.x;
    std::uint8_t* muscle = layers.muscle.ptr<std::uint8_t>(box.y + y) + box.x;
    std::uint8_t* fat_out = layers.fat.ptr<std::uint8_t>(box.y + y) + box.x;
    std::uint8_t* line_out = layers.line.ptr<std::uint8_t>(box.y + y) + box.x;
    for (int x = 0; x < box.width; ++x) {
      const int l = label.at<std::uint8_t>(y, x);
      if (l == kOutside) continue;
      const int f = fat.at<std::uint8_t>(y, x);
      Tissue t = l == kFat    ? Tissue::kOtherFat
                 : l == kBone ? Tissue::kBone
                 : f >= 128   ? Tissue::kMuscleFat
                              : Tissue::kLean;
      if (l >= kFirstMuscle) {
        muscle[x] = static_cast<std::uint8_t>(
            1 + static_cast<int>(face.muscles[static_cast<std::size_t>(l - kFirstMuscle)].name));
      } else {
        muscle[x] = 0;
      }
      if (glare.at<std::uint8_t>(y, x) >= 128) t = Tissue::kUnreadable;
      tissue[x] = static_cast<std::uint8_t>(t);
      fat_out[x] = static_cast<std::uint8_t>(f);
      line_out[x] = line.at<std::uint8_t>(y, x);
    }
  }
}

// Pixel counts of one face come from its own stamp, so that touching faces do not share them.
void CountPixels(const Surface& surface, const cv::Matx33d& map, cv::Rect box, report::Face& face) {
  const cv::Mat label = Warp(surface.label, map, box, cv::INTER_NEAREST);
  const cv::Mat glare = Warp(surface.glare, map, box, cv::INTER_LINEAR);
  const cv::Mat on = label != static_cast<int>(kOutside);
  const int all = cv::countNonZero(on);
  face.area_px = all;
  face.unreadable_pct = all > 0 ? 100.0 * cv::countNonZero((glare >= 128) & on) / all : 0.0;
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
    const PrintedCard card = PrintCard(recipe, std::min(1.25 * recipe.px_per_mm, 25.0));
    phantom.px_from_card = scene.camera.PxFromPlane(0.0) * scene.world_from_card;
    phantom.card_ruler_mm = card.ruler_mm;
    phantom.card_patches = card.patches;
    const cv::Matx33d map = IndexMap(phantom.px_from_card, {0, 0}, card.px_per_mm);
    const cv::Rect box = Landing(map, card.look.size(), size);
    if (box.area() > 0) Blend(canvas(box), Warp(card.look, map, box, cv::INTER_LINEAR));
  }
  ShadeBoard(canvas, scene, recipe);

  Layers layers{cv::Mat(size, CV_8U, cv::Scalar(0)), cv::Mat(size, CV_8U, cv::Scalar(0)),
                cv::Mat(size, CV_8U, cv::Scalar(0)), cv::Mat(size, CV_8U, cv::Scalar(0))};
  phantom.truth.method = {"phantom truth", RIBWRIGHT_VERSION};
  phantom.truth.width_px = size.width;
  phantom.truth.height_px = size.height;
  for (const Piece& piece : scene.pieces) PaintWall(canvas, piece, scene.camera, recipe);
  std::vector<report::Face> faces;
  std::vector<PhantomFace> places;
  for (Piece& piece : scene.pieces) {
    const cv::Matx33d px_from_mm =
        scene.camera.PxFromPlane(recipe.thickness_mm) * piece.world_from_face;
    const Surface surface = PaintSurface(piece.face, piece.recipe, 1.3 * recipe.px_per_mm);
    const cv::Matx33d map = IndexMap(px_from_mm, surface.origin_mm, surface.px_per_mm);
    const cv::Rect box = Landing(map, surface.look.size(), size);
    report::Face face = MeasureFace(piece.face, [&](cv::Point2d p) {
      const cv::Vec3d v = px_from_mm * cv::Vec3d(p.x, p.y, 1);
      return cv::Point2d(v[0] / v[2], v[1] / v[2]);
    });
    face.lean_colour = ExactLab(surface.lean);
    face.fat_colour = ExactLab(surface.fat_colour);
    if (recipe.cut == Cut::kRib) {
      const std::string name = std::to_string(piece.recipe.rib);
      face.rib_position = {name, {{name, 1.0}}, "as drawn"};
    }
    if (box.area() > 0) {
      Blend(canvas(box), Warp(surface.look, map, box, cv::INTER_LINEAR));
      StampTruth(layers, surface, piece.face, map, box);
      CountPixels(surface, map, box, face);
    }
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
