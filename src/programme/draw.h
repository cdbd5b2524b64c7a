// SPDX-License-Identifier: Apache-2.0
// Thin owners of cairo and pango objects, and text in one call. Sizes are in the surface's units
// (pixels or points); colours are 8-bit sRGB. Text that is not UTF-8 shows U+FFFD. Each thread may
// draw on its own surface.
#pragma once

#include <cairo.h>
#include <pango/pangocairo.h>

#include <memory>
#include <opencv2/core/matx.hpp>
#include <string>

namespace ribwright::programme {

struct CairoDeleter {
  void operator()(cairo_t* c) const { cairo_destroy(c); }
  void operator()(cairo_surface_t* s) const { cairo_surface_destroy(s); }
};
using CairoPtr = std::unique_ptr<cairo_t, CairoDeleter>;
using SurfacePtr = std::unique_ptr<cairo_surface_t, CairoDeleter>;

enum class Weight { kPlain, kBold };
enum class Align { kLeft, kCentre, kRight };

struct TextStyle {
  double size = 10.0;
  Weight weight = Weight::kPlain;
  Align align = Align::kLeft;  // where x lies in the text (or in the box, when width is set)
  double width = 0.0;          // > 0: lines are wrapped to this width
  cv::Vec3b rgb{0, 0, 0};
  bool halo = false;  // a dark edge round light letters, for text over a photo
};

struct TextSize {
  double width = 0.0;
  double height = 0.0;
};

TextSize MeasureText(cairo_t* cairo, const std::string& text, const TextStyle& style);
// (x, y) is the top of the text. Returns its size.
TextSize DrawText(cairo_t* cairo, double x, double y, const std::string& text,
                  const TextStyle& style);

void SetColour(cairo_t* cairo, const cv::Vec3b& rgb, double alpha = 1.0);
void FillBox(cairo_t* cairo, double x, double y, double width, double height);

}  // namespace ribwright::programme
