// SPDX-License-Identifier: Apache-2.0
#include "programme/overlay_legend.h"

#include <algorithm>
#include <array>
#include <string>
#include <vector>

#include "programme/palette.h"
#include "units/format.h"

namespace ribwright::programme {
namespace {

const cv::Vec3b kGround(24, 26, 30);
const cv::Vec3b kInk(245, 245, 245);

enum class Mark { kBox, kStripedBox, kSolidLine, kDashedLine, kThinLine };
struct Entry {
  Mark mark = Mark::kBox;
  std::string words;
  cv::Vec3b rgb = kInk;
};

std::vector<Entry> Entries() {
  std::vector<Entry> entries;
  for (const TissuePaint& paint : TissuePaints()) {
    const bool striped = paint.tissue == report::Tissue::kUnreadable;
    entries.push_back(
        {striped ? Mark::kStripedBox : Mark::kBox, std::string(paint.words), paint.rgb});
  }
  entries.push_back({Mark::kSolidLine, "eye"});
  entries.push_back({Mark::kDashedLine, "other muscles"});
  entries.push_back({Mark::kThinLine, "edge of the face"});
  return entries;
}

void DrawMark(cairo_t* cairo, const Entry& entry, double x, double y, double width, double height) {
  SetColour(cairo, entry.rgb);
  if (entry.mark == Mark::kBox) {
    FillBox(cairo, x, y, width, height);
    SetColour(cairo, kInk);
    cairo_set_line_width(cairo, height * 0.06);
    cairo_rectangle(cairo, x, y, width, height);
    cairo_stroke(cairo);
    return;
  }
  if (entry.mark == Mark::kStripedBox) {
    for (int i = 0; i < 3; ++i) FillBox(cairo, x + width * i / 3.0, y, width / 6.0, height);
    cairo_set_line_width(cairo, height * 0.06);
    cairo_rectangle(cairo, x, y, width, height);
    cairo_stroke(cairo);
    return;
  }
  cairo_set_line_width(cairo, height * (entry.mark == Mark::kThinLine ? 0.1 : 0.22));
  if (entry.mark == Mark::kDashedLine) {
    const std::array<double, 2> dash = {width * 0.26, width * 0.11};
    cairo_set_dash(cairo, dash.data(), 2, 0.0);
  }
  cairo_move_to(cairo, x, y + height / 2.0);
  cairo_line_to(cairo, x + width, y + height / 2.0);
  cairo_stroke(cairo);
  cairo_set_dash(cairo, nullptr, 0, 0.0);
}

void DrawBar(cairo_t* cairo, const ScaleBar& bar, double x, double y, double size) {
  SetColour(cairo, kInk);
  FillBox(cairo, x, y + size * 0.5, bar.length_px, size * 0.2);
  FillBox(cairo, x, y + size * 0.25, size * 0.12, size * 0.7);
  FillBox(cairo, x + bar.length_px - size * 0.12, y + size * 0.25, size * 0.12, size * 0.7);
}

// Lays the entries out from the left, a new line where one is full; draws unless `measure`.
double Lay(cairo_t* cairo, double top, const LegendStyle& style, bool draw) {
  const double size = style.text_size;
  const double pad = size * 0.8;
  const double mark = size * 1.7;
  const double line = size * 1.75;
  TextStyle text;
  text.size = size;
  text.rgb = kInk;
  double x = pad;
  double y = top + pad * 0.6;
  const auto place = [&](double width) {
    if (x > pad && x + width > style.width - pad) {
      x = pad;
      y += line;
    }
    const double at = x;
    x += width + size * 1.6;
    return at;
  };
  for (const Entry& entry : Entries()) {
    const double at = place(mark + size * 0.5 + MeasureText(cairo, entry.words, text).width);
    if (!draw) continue;
    DrawMark(cairo, entry, at, y + size * 0.12, mark, size * 0.95);
    DrawText(cairo, at + mark + size * 0.5, y, entry.words, text);
  }
  if (style.bar) {
    const double words = MeasureText(cairo, style.bar->words, text).width;
    const double at = place(style.bar->length_px + size * 0.5 + words);
    if (draw) {
      DrawBar(cairo, *style.bar, at, y + size * 0.1, size);
      DrawText(cairo, at + style.bar->length_px + size * 0.5, y, style.bar->words, text);
    }
  }
  return y + line - top;
}

}  // namespace

std::optional<ScaleBar> ChooseScaleBar(double px_per_mm, double room_px, bool us) {
  struct Length {
    double mm;
    const char* words;
  };
  static constexpr std::array kMetric = {Length{100, "100 mm"}, Length{50, "50 mm"},
                                         Length{20, "20 mm"}, Length{10, "10 mm"},
                                         Length{5, "5 mm"}};
  static constexpr std::array kUs = {
      Length{4 * units::kMmPerInch, "4 in"}, Length{2 * units::kMmPerInch, "2 in"},
      Length{units::kMmPerInch, "1 in"}, Length{units::kMmPerInch / 2, "1/2 in"},
      Length{units::kMmPerInch / 4, "1/4 in"}};
  for (const Length& length : us ? kUs : kMetric) {
    if (length.mm * px_per_mm <= room_px) {
      return ScaleBar{length.mm * px_per_mm, std::string(length.words) + " at mid-face"};
    }
  }
  return std::nullopt;
}

double LegendHeight(const LegendStyle& style) {
  const SurfacePtr surface(cairo_image_surface_create(CAIRO_FORMAT_A8, 1, 1));
  const CairoPtr cairo(cairo_create(surface.get()));
  return Lay(cairo.get(), 0.0, style, false);
}

void DrawLegend(cairo_t* cairo, double y, const LegendStyle& style) {
  SetColour(cairo, kGround);
  FillBox(cairo, 0, y, style.width, LegendHeight(style) + 2.0);
  Lay(cairo, y, style, true);
}

}  // namespace ribwright::programme
