// SPDX-License-Identifier: Apache-2.0
// CardPage: a cairo PDF page in millimetres with pango text, for card_pdf.cc.
#pragma once

#include <cairo-pdf.h>
#include <pango/pangocairo.h>

#include <cstdint>
#include <memory>
#include <string>
#include <vector>

#include "base/result.h"

namespace ribwright::photo {

enum class Align { kLeft, kCentre, kRight };

struct TextStyle {
  double size_mm = 3.0;  // of the letter's em
  bool bold = false;
  Align align = Align::kLeft;
  double grey = 0.0;      // 0 black
  double width_mm = 0.0;  // wraps there; 0: one line
};

class CardPage {
 public:
  CardPage(double width_mm, double height_mm, const std::string& title);
  CardPage(const CardPage&) = delete;
  CardPage& operator=(const CardPage&) = delete;

  void Fill(double x, double y, double width, double height, double r, double g, double b);
  void Line(double x0, double y0, double x1, double y1, double width, double grey);
  // y is the top of the first line. Returns the height taken in mm.
  double Text(double x, double y, const std::string& utf8, const TextStyle& style);
  Result<std::vector<std::uint8_t>> Finish();

 private:
  struct SurfaceDeleter {
    void operator()(cairo_surface_t* s) const { cairo_surface_destroy(s); }
  };
  struct CairoDeleter {
    void operator()(cairo_t* c) const { cairo_destroy(c); }
  };
  std::vector<std::uint8_t> bytes_;
  std::unique_ptr<cairo_surface_t, SurfaceDeleter> surface_;
  std::unique_ptr<cairo_t, CairoDeleter> cairo_;
};

}  // namespace ribwright::photo
