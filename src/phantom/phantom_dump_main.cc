// SPDX-License-Identifier: Apache-2.0
// phantom_dump: renders many seeds and writes square tiles of photo and truth for training a
// network.
//
//   phantom_dump --first 0 --count 1000 --threads 2 --out DIR [--tile 512] [--tiles-per-seed 2]
//                [--wide-share 0.7] [--format raw|png] [--difficulty mixed] [--px-per-mm 4.5,10]
//
// png: DIR/SEED_K.photo.png, .label.png, .muscle.png, .fat.png. raw: DIR/tiles.SEED0.bin for each
// batch of seeds, six planes of tile x tile bytes a record (R, G, B, label, muscle, fat), and
// tiles.SEED0.csv with one line a record. The photo has been through JPEG. label: 0 outside, 1
// lean, 2 fat in muscle, 3 other fat, 4 bone, 5 glare, 6 connective line. muscle: 0 none, else 1 +
// report::MuscleName. fat: share of the pixel that is fat, 0..255. Photos smaller than a tile are
// mirrored at their border. --px-per-mm LOW,HIGH: photos finer than a scale drawn from that range
// are averaged down to it first, as the judge does before a network looks. The same arguments give
// the same files.
#include <algorithm>
#include <cmath>
#include <cstdio>
#include <filesystem>
#include <opencv2/core.hpp>
#include <opencv2/imgproc.hpp>
#include <string>
#include <vector>

#include "math/rng.h"
#include "phantom/dump_run.h"
#include "phantom/render.h"
#include "photo/decode.h"
#include "photo/encode.h"
#include "report/tissue.h"

namespace ribwright::phantom {
namespace {

struct Options : DumpRun {
  int tile = 512;
  int tiles = 2;
  double wide_share = 0.7;
  std::vector<double> px_per_mm;  // none: photos stay as they are
  bool raw = false;
  Difficulty difficulty = Difficulty::kMixed;
};

struct Tile {
  cv::Mat photo, label, muscle, fat;
  std::string line;
};

cv::Mat LabelsOf(const Phantom& p) {
  cv::Mat label = p.tissue.clone();
  label.setTo(6, (p.tissue == static_cast<int>(report::Tissue::kLean)) & (p.line >= 128));
  return label;
}

cv::Mat Shrink(const cv::Mat& m, double scale, int how) {
  if (scale >= 1.0) return m;
  cv::Mat out;
  cv::resize(m, out, cv::Size(), scale, scale, how);
  return out;
}

cv::Mat Pad(const cv::Mat& m, int side) {
  const int right = std::max(0, side - m.cols);
  const int below = std::max(0, side - m.rows);
  if (right == 0 && below == 0) return m;
  cv::Mat out;
  cv::copyMakeBorder(m, out, 0, below, 0, right, cv::BORDER_REFLECT);
  return out;
}

std::vector<Tile> TilesOf(std::uint64_t seed, const Options& o) {
  math::Rng rng = math::Rng(seed).Fork(5000);
  RecipeOptions options;
  options.difficulty = o.difficulty;
  options.wide = rng.Chance(o.wide_share);
  Recipe recipe = DrawRecipe(seed, options);
  double scale = 1.0;
  if (o.px_per_mm.size() == 2) {
    const double wanted = o.px_per_mm[0] * std::pow(o.px_per_mm[1] / o.px_per_mm[0], rng.Uniform());
    scale = std::min(1.0, wanted / recipe.px_per_mm);
    recipe.window_px = static_cast<int>(2 * o.tile / scale);
  }
  if (recipe.window_px == 0) recipe.window_px = 2 * o.tile;
  Result<Phantom> phantom = Render(recipe);
  if (!phantom) return {};
  Result<photo::Photo> photo = photo::DecodePhoto(phantom->jpeg, "phantom");
  if (!photo) return {};
  const auto at = [&](const cv::Mat& m, int how) { return Pad(Shrink(m, scale, how), o.tile); };
  const cv::Mat rgb = at(photo->rgb, cv::INTER_AREA);
  const cv::Mat label = at(LabelsOf(*phantom), cv::INTER_NEAREST);
  const cv::Mat muscle = at(phantom->muscle, cv::INTER_NEAREST);
  const cv::Mat fat = at(phantom->fat, cv::INTER_AREA);
  std::vector<Tile> tiles;
  for (int k = 0; k < o.tiles; ++k) {
    // Of a few places the one that shows most meat, so that few tiles are all board.
    cv::Rect best;
    int most = -1;
    for (int tries = 0; tries < 3; ++tries) {
      const cv::Rect box(
          static_cast<int>(rng.Below(static_cast<std::uint32_t>(rgb.cols - o.tile + 1))),
          static_cast<int>(rng.Below(static_cast<std::uint32_t>(rgb.rows - o.tile + 1))), o.tile,
          o.tile);
      const int meat = cv::countNonZero(label(box));
      if (meat > most) {
        most = meat;
        best = box;
      }
    }
    char line[160];
    std::snprintf(line, sizeof line, "%llu,%d,%d,%d,%.4f,%s,%d,%.4f",
                  static_cast<unsigned long long>(seed), k, best.x, best.y,
                  scale * recipe.px_per_mm, std::string(CutText(recipe.cut)).c_str(),
                  options.wide ? 1 : 0, recipe.eye_marbling);
    tiles.push_back(
        {rgb(best).clone(), label(best).clone(), muscle(best).clone(), fat(best).clone(), line});
  }
  return tiles;
}

bool WritePngs(const std::vector<Tile>& tiles, std::uint64_t seed, const Options& o) {
  bool good = true;
  for (std::size_t k = 0; k < tiles.size(); ++k) {
    const std::string stem = std::to_string(seed) + "_" + std::to_string(k);
    const auto put = [&](const cv::Mat& m, const char* what) {
      const auto png = photo::EncodePng(m);
      good = good && png && WriteBytes(o.out / (stem + what), *png);
    };
    put(tiles[k].photo, ".photo.png");
    put(tiles[k].label, ".label.png");
    put(tiles[k].muscle, ".muscle.png");
    put(tiles[k].fat, ".fat.png");
  }
  return good;
}

void AppendRaw(const Tile& t, std::vector<std::uint8_t>& bytes) {
  std::vector<cv::Mat> planes;
  cv::split(t.photo, planes);
  planes.insert(planes.end(), {t.label, t.muscle, t.fat});
  for (const cv::Mat& p : planes) {
    for (int y = 0; y < p.rows; ++y) bytes.insert(bytes.end(), p.ptr(y), p.ptr(y) + p.cols);
  }
}

// One batch of seeds; false when a file could not be written.
bool Batch(std::uint64_t first, std::uint64_t end, const Options& o) {
  std::vector<std::uint8_t> raw;
  std::string lines;
  bool good = true;
  for (std::uint64_t seed = first; seed < end; ++seed) {
    const std::vector<Tile> tiles = TilesOf(seed, o);
    for (const Tile& t : tiles) {
      if (o.raw) AppendRaw(t, raw);
      lines += t.line + "\n";
    }
    if (!o.raw) good = WritePngs(tiles, seed, o) && good;
  }
  const std::string stem = "tiles." + std::to_string(first);
  if (o.raw) good = WriteBytes(o.out / (stem + ".bin"), raw) && good;
  return WriteBytes(o.out / (stem + ".csv"), {lines.begin(), lines.end()}) && good;
}

}  // namespace
}  // namespace ribwright::phantom

int main(int argc, char** argv) {
  using ribwright::phantom::Options;
  Options o;
  o.batch = 64;
  CLI::App app("Renders many seeds and writes square tiles of photo and truth for training.");
  ribwright::phantom::AddDumpOptions(app, o);
  app.add_option("--tile", o.tile)->check(CLI::Range(32, 8192))->capture_default_str();
  app.add_option("--tiles-per-seed", o.tiles)->check(CLI::Range(1, 64))->capture_default_str();
  app.add_option("--px-per-mm", o.px_per_mm, "coarsest and finest scale of the tiles")
      ->delimiter(',')
      ->expected(2)
      ->check(CLI::PositiveNumber);
  app.add_option("--wide-share", o.wide_share)->check(CLI::Range(0.0, 1.0))->capture_default_str();
  std::string format = "png";
  app.add_option("--format", format)->check(CLI::IsMember({"png", "raw"}))->capture_default_str();
  std::string difficulty = "mixed";
  app.add_option("--difficulty", difficulty)
      ->check(CLI::IsMember({"easy", "mixed", "hard"}))
      ->capture_default_str();
  CLI11_PARSE(app, argc, argv);
  o.raw = format == "raw";
  o.difficulty = *ribwright::phantom::DifficultyFromText(difficulty);
  const bool good = ribwright::phantom::RunBatches(o, [&](std::uint64_t first, std::uint64_t end) {
    return ribwright::phantom::Batch(first, end, o);
  });
  return good ? 0 : 1;
}
