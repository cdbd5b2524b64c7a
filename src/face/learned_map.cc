// SPDX-License-Identifier: Apache-2.0
#include "face/learned_map.h"

#include <algorithm>
#include <cmath>
#include <opencv2/dnn.hpp>
#include <opencv2/imgproc.hpp>
#include <span>

#include "base/check.h"

extern "C" const unsigned char rw_embedded_tissue_network[];
extern "C" const unsigned char rw_embedded_tissue_network_end[];

namespace ribwright::face {
namespace {

constexpr int kScores = static_cast<int>(kMapTissues) + 2;
constexpr int kStep = LearnedMap::kTile - 2 * LearnedMap::kMargin;

struct Grid {
  int columns = 1;
  int rows = 1;
  cv::Size size;
  double scale = 1.0;
};

// The tiling that shows the canvas largest within the allowed number of tiles.
Grid Lay(const cv::Size& canvas) {
  Grid best;
  best.scale = 0.0;
  for (int rows = 1; rows <= LearnedMap::kTiles; ++rows) {
    const int columns = LearnedMap::kTiles / rows;
    const double scale = std::min({double(columns) * kStep / canvas.width,
                                   double(rows) * kStep / canvas.height, LearnedMap::kEnlarge});
    if (scale <= best.scale) continue;
    best.scale = scale;
    best.size = cv::Size(std::clamp(int(std::lround(canvas.width * scale)), 1, columns * kStep),
                         std::clamp(int(std::lround(canvas.height * scale)), 1, rows * kStep));
  }
  best.columns = (best.size.width + kStep - 1) / kStep;
  best.rows = (best.size.height + kStep - 1) / kStep;
  return best;
}

std::span<const std::uint8_t> Weights() {
  return {rw_embedded_tissue_network, rw_embedded_tissue_network_end};
}

// 4 * kScores planes of half the tile's side.
cv::Mat Run(Network& network, const cv::Mat& tile) {
  return network.Run(cv::dnn::blobFromImage(tile, 1.0 / 255.0));
}

float Logistic(float v) { return 1.0F / (1.0F + std::exp(-v)); }

float Share(float score) {
  constexpr auto kFrom = float(LearnedMap::kNoFat);
  constexpr auto kTo = float(LearnedMap::kAllFat);
  return std::clamp((Logistic(score) - kFrom) / (kTo - kFrom), 0.0F, 1.0F);
}

std::uint8_t Byte(float v) { return cv::saturate_cast<std::uint8_t>(255.0F * v); }

// One tile's inner part, from scores of four sub-pixels a coarse pixel to maps.
void Decode(const cv::Mat& coarse, const cv::Rect& place, LearnedMaps& maps) {
  const int half = LearnedMap::kTile / 2;
  const auto plane = [&](int score, int dy, int dx) {
    return coarse.ptr<float>() + std::ptrdiff_t(4 * score + 2 * dy + dx) * half * half;
  };
  std::array<float, kMapTissues> p;
  for (int y = 0; y < place.height; ++y) {
    const int ty = y + LearnedMap::kMargin;
    std::array<std::uint8_t*, kMapTissues> row;
    for (std::size_t c = 0; c < kMapTissues; ++c) {
      row[c] = maps.probability[c].ptr(place.y + y) + place.x;
    }
    float* share = maps.fat_share.ptr<float>(place.y + y) + place.x;
    std::uint8_t* seam = maps.seam.ptr(place.y + y) + place.x;
    std::array<std::array<const float*, 2>, kScores> from;
    for (int s = 0; s < kScores; ++s) {
      for (int dx = 0; dx < 2; ++dx) {
        from[std::size_t(s)][std::size_t(dx)] =
            plane(s, ty % 2, dx) + std::ptrdiff_t(ty / 2) * half;
      }
    }
    for (int x = 0; x < place.width; ++x) {
      const int tx = x + LearnedMap::kMargin;
      const auto score = [&](std::size_t s) { return from[s][std::size_t(tx % 2)][tx / 2]; };
      float top = score(0);
      for (std::size_t c = 1; c < kMapTissues; ++c) top = std::max(top, score(c));
      float sum = 0.0F;
      for (std::size_t c = 0; c < kMapTissues; ++c) sum += p[c] = std::exp(score(c) - top);
      for (std::size_t c = 0; c < kMapTissues; ++c) row[c][x] = Byte(p[c] / sum);
      share[x] = Share(score(kMapTissues));
      seam[x] = Byte(Logistic(score(kMapTissues + 1)));
    }
  }
}

// The same for fat and glare alone.
void DecodeFat(const cv::Mat& coarse, const cv::Rect& place, FatAndGlare& maps) {
  const int half = LearnedMap::kTile / 2;
  constexpr auto kGlare = static_cast<std::size_t>(MapTissue::kGlare);
  for (int y = 0; y < place.height; ++y) {
    const int ty = y + LearnedMap::kMargin;
    const auto from = [&](std::size_t score, int dx) {
      return coarse.ptr<float>() +
             std::ptrdiff_t(4 * int(score) + 2 * (ty % 2) + dx) * half * half +
             std::ptrdiff_t(ty / 2) * half;
    };
    float* share = maps.fat_share.ptr<float>(place.y + y) + place.x;
    std::uint8_t* glare = maps.glare.ptr(place.y + y) + place.x;
    for (int x = 0; x < place.width; ++x) {
      const int tx = x + LearnedMap::kMargin;
      const auto score = [&](std::size_t s) { return from(s, tx % 2)[tx / 2]; };
      share[x] = Share(score(kMapTissues));
      bool is_glare = true;
      for (std::size_t c = 0; c < kMapTissues && is_glare; ++c)
        is_glare = score(c) <= score(kGlare);
      glare[x] = is_glare ? 255 : 0;
    }
  }
}

void Largest(LearnedMaps& maps) {
  const cv::Size size = maps.seam.size();
  maps.label = cv::Mat::zeros(size, CV_8U);
  for (int y = 0; y < size.height; ++y) {
    std::uint8_t* label = maps.label.ptr(y);
    std::array<const std::uint8_t*, kMapTissues> row;
    for (std::size_t c = 0; c < kMapTissues; ++c) row[c] = maps.probability[c].ptr(y);
    for (int x = 0; x < size.width; ++x) {
      std::size_t best = 0;
      for (std::size_t c = 1; c < kMapTissues; ++c) {
        if (row[c][x] > row[best][x]) best = c;
      }
      label[x] = static_cast<std::uint8_t>(best);
    }
  }
}

void Allocate(const cv::Size& size, LearnedMaps& maps) {
  for (auto& p : maps.probability) p.create(size, CV_8U);
  maps.fat_share.create(size, CV_32F);
  maps.seam.create(size, CV_8U);
}

// A canvas laid out in tiles on the network's grid.
struct Tiling {
  explicit Tiling(const cv::Mat& rgb) : canvas(rgb.size()) {
    RIBWRIGHT_CHECK(rgb.type() == CV_8UC3 && rgb.rows > 0 && rgb.cols > 0);
    grid = Lay(rgb.size());
    cv::resize(rgb, seen, grid.size, 0, 0, grid.scale < 1.0 ? cv::INTER_AREA : cv::INTER_LINEAR);
    constexpr int kMargin = LearnedMap::kMargin;
    cv::copyMakeBorder(seen, seen, kMargin, grid.rows * kStep + kMargin - grid.size.height, kMargin,
                       grid.columns * kStep + kMargin - grid.size.width, cv::BORDER_REFLECT);
  }

  // Calls take(tile, place of its inner part on the grid), tiles side by side, each network within
  // its own thread: nested parallel work runs in place.
  template <typename Take>
  void ForEach(Take take) const {
    constexpr int kTile = LearnedMap::kTile;
    cv::parallel_for_(cv::Range(0, grid.rows * grid.columns), [&](const cv::Range& range) {
      for (int k = range.start; k < range.end; ++k) {
        const cv::Point corner(k % grid.columns * kStep, k / grid.columns * kStep);
        take(seen(cv::Rect(corner, cv::Size(kTile, kTile))),
             cv::Rect(corner, cv::Size(kStep, kStep)) & cv::Rect({}, grid.size));
      }
    });
  }

  // The pixels of the canvas that a place on the grid covers.
  cv::Rect OnCanvas(const cv::Rect& place) const {
    const cv::Point from(int(std::floor(place.x / grid.scale)),
                         int(std::floor(place.y / grid.scale)));
    const cv::Point to(int(std::ceil((place.x + place.width) / grid.scale)),
                       int(std::ceil((place.y + place.height) / grid.scale)));
    return cv::Rect(from, to) & cv::Rect({}, canvas);
  }

  cv::Mat Back(const cv::Mat& map) const {
    if (map.size() == canvas) return map;
    cv::Mat out;
    cv::resize(map, out, canvas, 0, 0, grid.scale > 1.0 ? cv::INTER_AREA : cv::INTER_LINEAR);
    return out;
  }

  cv::Size canvas;
  Grid grid;
  cv::Mat seen;
};

}  // namespace

LearnedMap::LearnedMap() : network_(std::make_unique<Network>(Weights())) {}
LearnedMap::~LearnedMap() = default;

const LearnedMap& LearnedMap::Shared() {
  static const LearnedMap shared;
  return shared;
}

LearnedMaps LearnedMap::Read(const cv::Mat& rgb) const {
  const Tiling tiling(rgb);
  LearnedMaps small;
  Allocate(tiling.grid.size, small);
  tiling.ForEach([&](const cv::Mat& tile, const cv::Rect& place) {
    Decode(Run(*network_, tile), place, small);
  });
  LearnedMaps maps;
  maps.grid_from_canvas = tiling.grid.scale;
  for (std::size_t c = 0; c < kMapTissues; ++c) {
    maps.probability[c] = tiling.Back(small.probability[c]);
  }
  maps.fat_share = tiling.Back(small.fat_share);
  maps.seam = tiling.Back(small.seam);
  Largest(maps);
  return maps;
}

FatAndGlare LearnedMap::ReadFat(const cv::Mat& rgb, const cv::Mat& mask) const {
  RIBWRIGHT_CHECK(mask.type() == CV_8U && mask.size() == rgb.size());
  const Tiling tiling(rgb);
  FatAndGlare small{cv::Mat::zeros(tiling.grid.size, CV_32F),
                    cv::Mat::zeros(tiling.grid.size, CV_8U)};
  tiling.ForEach([&](const cv::Mat& tile, const cv::Rect& place) {
    if (cv::countNonZero(mask(tiling.OnCanvas(place))) == 0) return;
    DecodeFat(Run(*network_, tile), place, small);
  });
  return {tiling.Back(small.fat_share), tiling.Back(small.glare) > 127};
}

cv::Mat LearnedMap::Scores(const cv::Mat& tile) const {
  RIBWRIGHT_CHECK(tile.type() == CV_8UC3 && tile.size() == cv::Size(kTile, kTile));
  const cv::Mat coarse = Run(*network_, tile);
  const int sizes[] = {kScores, kTile, kTile};
  cv::Mat out(3, sizes, CV_32F);
  const int half = kTile / 2;
  for (int s = 0; s < kScores; ++s) {
    for (int y = 0; y < kTile; ++y) {
      for (int x = 0; x < kTile; ++x) {
        const int plane = 4 * s + 2 * (y % 2) + x % 2;
        out.at<float>(s, y, x) =
            coarse.ptr<float>()[(std::ptrdiff_t(plane) * half + y / 2) * half + x / 2];
      }
    }
  }
  return out;
}

const std::string& LearnedMap::Revision() {
  static const std::string revision = FingerprintOf(Weights());
  return revision;
}

}  // namespace ribwright::face
