// SPDX-License-Identifier: Apache-2.0
#include "photo/card_layout.h"

extern "C" {
#include <apriltag/apriltag.h>
#include <apriltag/tag36h11.h>
}

#include <algorithm>
#include <cmath>

#include "base/check.h"

namespace ribwright::photo {
namespace {

constexpr double kTagMm = 16.0;
constexpr std::array<CardTag, 6> kTags{{
    {101, 6.0, 11.0, kTagMm},
    {102, 82.0, 11.0, kTagMm},
    {103, 158.0, 11.0, kTagMm},
    {104, 6.0, 37.0, kTagMm},
    {105, 82.0, 37.0, kTagMm},
    {106, 158.0, 37.0, kTagMm},
}};

constexpr std::array<double, 6> kPatchX{30.0, 47.0, 64.0, 104.0, 121.0, 138.0};
constexpr std::array<double, 3> kPatchY{11.0, 25.0, 39.0};
constexpr double kPatchWidth = 12.0;
constexpr double kPatchHeight = 11.0;

constexpr CardPatch Patch(std::string_view id, std::string_view name, std::size_t column,
                          std::size_t row, Srgb8 colour, bool neutral = false) {
  return {id, name, kPatchX[column], kPatchY[row], kPatchWidth, kPatchHeight, colour, neutral};
}

// Colours of fresh, dark and browned lean and of white and yellow fat, then primaries that hold the
// fit where the meat's colours do not reach.
constexpr std::array<CardPatch, 18> kPatches{{
    Patch("A1", "bloomed red", 0, 0, {184, 58, 56}),
    Patch("B1", "purple red", 1, 0, {122, 42, 62}),
    Patch("C1", "dark red", 2, 0, {82, 36, 38}),
    Patch("D1", "brown", 3, 0, {126, 82, 62}),
    Patch("E1", "pink", 4, 0, {224, 150, 140}),
    Patch("F1", "cream", 5, 0, {236, 220, 186}),
    Patch("A2", "grey 1", 0, 1, {216, 216, 216}, true),
    Patch("B2", "grey 2", 1, 1, {186, 186, 186}, true),
    Patch("C2", "grey 3", 2, 1, {152, 152, 152}, true),
    Patch("D2", "grey 4", 3, 1, {118, 118, 118}, true),
    Patch("E2", "grey 5", 4, 1, {86, 86, 86}, true),
    Patch("F2", "grey 6", 5, 1, {56, 56, 56}, true),
    Patch("A3", "yellow", 0, 2, {228, 196, 92}),
    Patch("B3", "orange", 1, 2, {212, 120, 52}),
    Patch("C3", "magenta", 2, 2, {168, 72, 128}),
    Patch("D3", "blue", 3, 2, {58, 82, 156}),
    Patch("E3", "cyan", 4, 2, {84, 156, 176}),
    Patch("F3", "green", 5, 2, {84, 142, 78}),
}};

// The middle 3 mm of each 5 mm gap between patches, and of the gap outside the outer ones.
std::vector<CardWhite> MakeWhites() {
  std::vector<CardWhite> whites;
  constexpr double kGapCentre = 2.5;
  for (const double y : kPatchY) {
    for (const std::size_t block : {0U, 3U}) {
      for (std::size_t gap = 0; gap < 4; ++gap) {
        const double centre = gap < 3 ? kPatchX[block + gap] - kGapCentre
                                      : kPatchX[block + 2] + kPatchWidth + kGapCentre;
        whites.push_back({centre - 1.5, y + 1.0, 3.0, kPatchHeight - 2.0});
      }
    }
  }
  for (const double x : {7.0, 83.0, 159.0}) whites.push_back({x, 30.0, 14.0, 4.0});
  return whites;
}

void AddInk(std::vector<CardRect>& rects, double x, double y, double width, double height) {
  rects.push_back({x, y, width, height, CardKind::kInk, kCardInk, -1});
}

// The pattern with its white border is total_width cells a side; the black square starts inside it.
void AddTag(std::vector<CardRect>& rects, apriltag_family_t* family, const CardTag& tag) {
  image_u8_t* image = apriltag_to_image(family, static_cast<std::uint32_t>(tag.id));
  const double cell = tag.size_mm / family->width_at_border;
  const int border = (family->total_width - family->width_at_border) / 2;
  AddInk(rects, tag.x_mm, tag.y_mm, tag.size_mm, tag.size_mm);
  for (int row = 0; row < family->width_at_border; ++row) {
    for (int column = 0; column < family->width_at_border;) {
      const auto white = [&](int c) {
        return image->buf[(row + border) * image->stride + c + border] > 127;
      };
      int end = column;
      while (end < family->width_at_border && white(end)) ++end;
      if (end > column) {
        rects.push_back({tag.x_mm + column * cell, tag.y_mm + row * cell, (end - column) * cell,
                         cell, CardKind::kPaper, kCardPaper, -1});
      }
      column = std::max(end, column + 1);
    }
  }
  image_u8_destroy(image);
}

void AddRulers(std::vector<CardRect>& rects) {
  constexpr double kThin = 0.2;
  for (int mm = 0; mm <= static_cast<int>(kCardRulerMm); ++mm) {
    const double length = mm % 10 == 0 ? 4.5 : mm % 5 == 0 ? 3.4 : 2.2;
    AddInk(rects, kCardRulerStartMm + mm - kThin / 2, 0.0, kThin, length);
  }
  for (int eighth = 0; eighth <= kCardInches * 8; ++eighth) {
    const double length = eighth % 8 == 0 ? 4.5 : eighth % 4 == 0 ? 3.4 : 2.2;
    AddInk(rects, kCardRulerStartMm + eighth * kMmPerInch / 8 - kThin / 2, kCardHeightMm - length,
           kThin, length);
  }
}

std::vector<CardRect> MakeRects() {
  std::vector<CardRect> rects;
  rects.push_back({0.0, 0.0, kCardWidthMm, kCardHeightMm, CardKind::kPaper, kCardPaper, -1});
  apriltag_family_t* family = tag36h11_create();
  RIBWRIGHT_CHECK(family->width_at_border == 8);
  for (const CardTag& tag : kTags) AddTag(rects, family, tag);
  tag36h11_destroy(family);
  for (std::size_t i = 0; i < kPatches.size(); ++i) {
    const CardPatch& p = kPatches[i];
    rects.push_back(
        {p.x_mm, p.y_mm, p.width_mm, p.height_mm, CardKind::kPatch, p.colour, static_cast<int>(i)});
  }
  AddRulers(rects);
  return rects;
}

// Rectangles of each 2 mm square of the card, last painted first, so that the first hit is the
// answer.
class Index {
 public:
  explicit Index(std::span<const CardRect> rects) : rects_(rects) {
    cells_.resize(static_cast<std::size_t>(kColumns) * kRows);
    for (std::size_t i = rects.size(); i-- > 0;) {
      const CardRect& r = rects[i];
      const int x0 = std::max(0, CellOf(r.x_mm));
      const int x1 = std::min(kColumns - 1, CellOf(r.x_mm + r.width_mm));
      const int y0 = std::max(0, CellOf(r.y_mm));
      const int y1 = std::min(kRows - 1, CellOf(r.y_mm + r.height_mm));
      for (int y = y0; y <= y1; ++y) {
        for (int x = x0; x <= x1; ++x) {
          cells_[static_cast<std::size_t>(y * kColumns + x)].push_back(
              static_cast<std::uint16_t>(i));
        }
      }
    }
  }
  Srgb8 At(double x, double y) const {
    const std::size_t cell = static_cast<std::size_t>(std::min(kRows - 1, CellOf(y)) * kColumns +
                                                      std::min(kColumns - 1, CellOf(x)));
    for (const std::uint16_t i : cells_[cell]) {
      const CardRect& r = rects_[i];
      if (x >= r.x_mm && x < r.x_mm + r.width_mm && y >= r.y_mm && y < r.y_mm + r.height_mm) {
        return r.colour;
      }
    }
    return kCardPaper;
  }

 private:
  static constexpr double kCellMm = 2.0;
  static constexpr int kColumns = 90;
  static constexpr int kRows = 32;
  static_assert(kColumns * kCellMm == kCardWidthMm && kRows * kCellMm == kCardHeightMm);
  static int CellOf(double mm) { return static_cast<int>(std::floor(mm / kCellMm)); }

  std::span<const CardRect> rects_;
  std::vector<std::vector<std::uint16_t>> cells_;
};

}  // namespace

std::span<const CardRect> CardRects() {
  static const std::vector<CardRect> rects = MakeRects();
  return rects;
}

std::span<const CardTag> CardTags() { return kTags; }

std::span<const CardPatch> CardPatches() { return kPatches; }

std::span<const CardWhite> CardWhites() {
  static const std::vector<CardWhite> whites = MakeWhites();
  return whites;
}

std::optional<Srgb8> CardColourAt(double x_mm, double y_mm) {
  if (!(x_mm >= 0.0 && x_mm < kCardWidthMm && y_mm >= 0.0 && y_mm < kCardHeightMm)) {
    return std::nullopt;
  }
  static const Index index(CardRects());
  return index.At(x_mm, y_mm);
}

}  // namespace ribwright::photo
