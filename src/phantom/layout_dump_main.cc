// SPDX-License-Identifier: Apache-2.0
// layout_dump: renders many seeds small and writes whole scenes and crops round one face, with the
// truth of what lies where, for training the layout network (outlines, muscles, cover, bone).
//
//   layout_dump --out DIR [--first 0] [--count 1000] [--threads 2] [--side 384] [--batch 32]
//
// DIR/layout.SEED0.bin for each batch of seeds: five planes of side x side bytes a record (R, G, B,
// class, face). The photo has been through JPEG. class: 0 outside (board, card, side wall), 1..7
// one more than report::MuscleName, 8 fat outside muscles, 9 bone. face: 0 none, else which face
// counted from 1. A photo is fitted into the square, the rest is grey. The same arguments give the
// same files.
#include <algorithm>
#include <cmath>
#include <cstdio>
#include <filesystem>
#include <opencv2/imgproc.hpp>
#include <string>
#include <vector>

#include "math/rng.h"
#include "phantom/dump_run.h"
#include "phantom/render.h"
#include "photo/decode.h"
#include "report/tissue.h"

namespace ribwright::phantom {
namespace {

struct Options : DumpRun {
  int side = 384;
};

constexpr int kRecordsPerSeed = 4;

Recipe RecipeOf(std::uint64_t seed, math::Rng& rng) {
  RecipeOptions options;
  const double level = rng.Uniform();
  options.difficulty = level < 0.2   ? Difficulty::kEasy
                       : level < 0.7 ? Difficulty::kMixed
                                     : Difficulty::kHard;
  options.card = rng.Chance(0.45);
  const Recipe plain = DrawRecipe(seed, options);
  options.wide = rng.Chance(0.6);
  Recipe recipe = DrawRecipe(seed, options);
  recipe.card = plain.card && rng.Chance(0.6);
  recipe.pieces = plain.pieces;
  if (rng.Chance(0.12)) recipe.pieces = 2 + static_cast<int>(rng.Below(2));
  recipe.touching = recipe.pieces > 1 && rng.Chance(0.5);
  recipe.window_px = 0;
  recipe.px_per_mm = (recipe.card ? 2.6 : 4.0) * std::exp(rng.Uniform(-0.25, 0.25));
  recipe.raster_px_per_mm = 6.0;
  recipe.blur_sigma_px = rng.Uniform(0.3, 1.0);
  recipe.sharpen_sigma_px = rng.Uniform(0.4, 1.0);
  recipe.noise *= 0.6;
  return recipe;
}

struct Scene {
  cv::Mat rgb, kind, face;
  std::vector<cv::Rect> boxes;
};

Scene SceneOf(const Phantom& phantom, const cv::Mat& rgb) {
  Scene scene;
  scene.rgb = rgb;
  scene.kind = phantom.muscle.clone();
  const cv::Mat meat = phantom.tissue > 0;
  scene.kind.setTo(8, (phantom.muscle == 0) & meat);
  scene.kind.setTo(9, phantom.tissue == static_cast<int>(report::Tissue::kBone));
  scene.face = cv::Mat::zeros(rgb.size(), CV_8U);
  for (std::size_t i = 0; i < phantom.truth.faces.size(); ++i) {
    std::vector<std::vector<cv::Point>> rings;
    for (const auto& ring : phantom.truth.faces[i].outline_px) {
      std::vector<cv::Point> points;
      for (const auto& p : ring) {
        points.emplace_back(static_cast<int>(std::lround((p.x - 0.5) * 16)),
                            static_cast<int>(std::lround((p.y - 0.5) * 16)));
      }
      rings.push_back(std::move(points));
    }
    if (rings.empty()) continue;
    cv::fillPoly(scene.face, rings, cv::Scalar(static_cast<double>(i + 1)), cv::LINE_8, 4);
    cv::Mat points;
    cv::findNonZero(scene.face == static_cast<int>(i + 1), points);
    if (!points.empty()) scene.boxes.push_back(cv::boundingRect(points));
  }
  scene.face.setTo(0, meat == 0);
  return scene;
}

// The box fitted into a square; what lies beyond the photo is grey.
void Append(const Scene& scene, cv::Rect box, int side, std::vector<std::uint8_t>& bytes) {
  const double s = static_cast<double>(side) / std::max(box.width, box.height);
  const cv::Size size(std::clamp(static_cast<int>(std::lround(box.width * s)), 1, side),
                      std::clamp(static_cast<int>(std::lround(box.height * s)), 1, side));
  const cv::Rect place((side - size.width) / 2, (side - size.height) / 2, size.width, size.height);
  const auto fit = [&](const cv::Mat& m, int how, int ground) {
    cv::Mat out(side, side, m.type(), cv::Scalar::all(ground));
    cv::Mat part;
    cv::resize(m(box), part, size, 0, 0, how);
    part.copyTo(out(place));
    return out;
  };
  const cv::Mat rgb = fit(scene.rgb, s < 1.0 ? cv::INTER_AREA : cv::INTER_LINEAR, 128);
  std::vector<cv::Mat> planes;
  cv::split(rgb, planes);
  planes.push_back(fit(scene.kind, cv::INTER_NEAREST, 0));
  planes.push_back(fit(scene.face, cv::INTER_NEAREST, 0));
  for (const cv::Mat& p : planes) {
    for (int y = 0; y < p.rows; ++y) bytes.insert(bytes.end(), p.ptr(y), p.ptr(y) + p.cols);
  }
}

void AppendSeed(std::uint64_t seed, const Options& o, std::vector<std::uint8_t>& bytes) {
  math::Rng rng = math::Rng(seed).Fork(5100);
  const Result<Phantom> phantom = Render(RecipeOf(seed, rng));
  if (!phantom) return;
  const Result<photo::Photo> photo = photo::DecodePhoto(phantom->jpeg, "phantom");
  if (!photo) return;
  const Scene scene = SceneOf(*phantom, photo->rgb);
  const cv::Rect whole({}, scene.rgb.size());
  Append(scene, whole, o.side, bytes);
  for (int k = 1; k < kRecordsPerSeed; ++k) {
    cv::Rect box = whole;
    if (!scene.boxes.empty()) {
      box = scene.boxes[rng.Below(static_cast<std::uint32_t>(scene.boxes.size()))];
      // Close crops mostly; some cut the face off as careless photos do.
      const double most = rng.Chance(0.3) ? 0.6 : 0.15;
      const auto reach = [&](int extent) {
        return static_cast<int>(extent * rng.Uniform(rng.Chance(0.15) ? -0.12 : 0.0, most));
      };
      const int left = reach(box.width), top = reach(box.height);
      const int right = reach(box.width), below = reach(box.height);
      box =
          cv::Rect(box.x - left, box.y - top, box.width + left + right, box.height + top + below) &
          whole;
    }
    if (box.width < 32 || box.height < 32) box = whole;
    Append(scene, box, o.side, bytes);
  }
}

bool Batch(std::uint64_t first, std::uint64_t end, const Options& o) {
  std::vector<std::uint8_t> bytes;
  for (std::uint64_t seed = first; seed < end; ++seed) AppendSeed(seed, o, bytes);
  // Renamed when whole: training takes files in while others are drawn.
  const auto part = o.out / ("part." + std::to_string(first));
  if (!WriteBytes(part, bytes)) return false;
  std::error_code error;
  std::filesystem::rename(part, o.out / ("layout." + std::to_string(first) + ".bin"), error);
  return !error;
}

}  // namespace
}  // namespace ribwright::phantom

int main(int argc, char** argv) {
  ribwright::phantom::Options o;
  CLI::App app(
      "Renders many seeds small and writes whole scenes with what lies where, for training.");
  ribwright::phantom::AddDumpOptions(app, o);
  app.add_option("--side", o.side, "pixels of a record's side")
      ->check(CLI::Range(64, 4096))
      ->capture_default_str();
  CLI11_PARSE(app, argc, argv);
  const bool good = ribwright::phantom::RunBatches(o, [&](std::uint64_t first, std::uint64_t end) {
    return ribwright::phantom::Batch(first, end, o);
  });
  return good ? 0 : 1;
}
