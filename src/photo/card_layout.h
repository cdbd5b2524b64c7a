// SPDX-License-Identifier: Apache-2.0
// The scale-and-colour card as plain data: what is printed, found in photos, and drawn by the
// phantom renderer.
//
// Card coordinates: millimetres as designed, origin at the card's upper left corner, x right, y
// down; the card is one bar of 180 x 64 mm on either paper. A printer may scale it; that is a
// factor outside this file. Parts, top to bottom: a ruler of 150 mm in mm along the upper edge; six
// AprilTag 36h11 markers of 16 mm (three a row, so that any two rows or columns still span the card
// when one is covered); between them 3 x 6 patches with 5 mm of bare paper to the left and right of
// each (the local white); a 6 inch scale along the lower edge. Row 2 holds the grey steps; with
// bare paper there are seven neutral steps. Patches are named by column A..F and row 1..3, bare
// paper is "P".
//
// Colours are nominal sRGB (8 bit): what a good printer aims at, never what a given print shows.
// Paper and ink black are our assumption of office paper (L* 95) and printed black (L* 14). The
// design and its colours are our own choice (`assumed`); marker patterns come from the apriltag
// library. Everything here is immutable after first use and thread-safe.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <span>
#include <string_view>
#include <vector>

namespace ribwright::photo {

inline constexpr double kCardWidthMm = 180.0;
inline constexpr double kCardHeightMm = 64.0;

struct Srgb8 {
  std::uint8_t r = 0;
  std::uint8_t g = 0;
  std::uint8_t b = 0;
  friend bool operator==(const Srgb8&, const Srgb8&) = default;
};

inline constexpr Srgb8 kCardPaper{241, 241, 241};
inline constexpr Srgb8 kCardInk{36, 36, 36};

enum class CardKind { kPaper, kInk, kPatch };

// Painted in order: a later rectangle hides an earlier one. The first is the whole card in bare
// paper.
struct CardRect {
  double x_mm = 0.0;
  double y_mm = 0.0;
  double width_mm = 0.0;
  double height_mm = 0.0;
  CardKind kind = CardKind::kPaper;
  Srgb8 colour;
  int patch = -1;  // index into CardPatches(), for kPatch
};
std::span<const CardRect> CardRects();

// The nominal colour at a point of the card; nullopt outside it. About 10 ns.
std::optional<Srgb8> CardColourAt(double x_mm, double y_mm);

// A marker's black square. Its quiet zone of white reaches one cell (size / 8) further on every
// side.
struct CardTag {
  int id = 0;  // in family tag36h11
  double x_mm = 0.0;
  double y_mm = 0.0;
  double size_mm = 0.0;
};
std::span<const CardTag> CardTags();

struct CardPatch {
  std::string_view id;    // "A1"
  std::string_view name;  // "bloomed red"
  double x_mm = 0.0;
  double y_mm = 0.0;
  double width_mm = 0.0;
  double height_mm = 0.0;
  Srgb8 colour;
  bool neutral = false;
};
std::span<const CardPatch> CardPatches();
inline constexpr std::string_view kCardPaperId = "P";

// Bare paper where the local light is read: free of ink in the print, labels included.
struct CardWhite {
  double x_mm = 0.0;
  double y_mm = 0.0;
  double width_mm = 0.0;
  double height_mm = 0.0;
};
std::span<const CardWhite> CardWhites();

// The mm ruler: from x = kCardRulerStartMm, kCardRulerMm long, ticks from the upper edge downwards.
// This length is what a user measures on the print and enters. The inch scale starts at the same x,
// below.
inline constexpr double kCardRulerStartMm = 15.0;
inline constexpr double kCardRulerMm = 150.0;
inline constexpr int kCardInches = 6;
inline constexpr double kMmPerInch = 25.4;  // exact by definition

}  // namespace ribwright::photo
