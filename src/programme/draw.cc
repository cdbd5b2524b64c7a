// SPDX-License-Identifier: Apache-2.0
#include "programme/draw.h"

namespace ribwright::programme {
namespace {

struct GObjectDeleter {
  void operator()(void* object) const { g_object_unref(object); }
};
struct FontDeleter {
  void operator()(PangoFontDescription* font) const { pango_font_description_free(font); }
};
using LayoutPtr = std::unique_ptr<PangoLayout, GObjectDeleter>;

LayoutPtr MakeLayout(cairo_t* cairo, const std::string& text, const TextStyle& style) {
  LayoutPtr layout(pango_cairo_create_layout(cairo));
  std::unique_ptr<PangoFontDescription, FontDeleter> font(pango_font_description_new());
  pango_font_description_set_family(font.get(), "DejaVu Sans");
  pango_font_description_set_absolute_size(font.get(), style.size * PANGO_SCALE);
  if (style.weight == Weight::kBold) {
    pango_font_description_set_weight(font.get(), PANGO_WEIGHT_BOLD);
  }
  pango_layout_set_font_description(layout.get(), font.get());
  std::unique_ptr<char, decltype(&g_free)> valid(
      g_utf8_make_valid(text.data(), static_cast<gssize>(text.size())), &g_free);
  pango_layout_set_text(layout.get(), valid.get(), -1);
  if (style.width > 0.0) {
    pango_layout_set_width(layout.get(), static_cast<int>(style.width * PANGO_SCALE));
    pango_layout_set_wrap(layout.get(), PANGO_WRAP_WORD_CHAR);
    if (style.align == Align::kCentre) {
      pango_layout_set_alignment(layout.get(), PANGO_ALIGN_CENTER);
    }
    if (style.align == Align::kRight) pango_layout_set_alignment(layout.get(), PANGO_ALIGN_RIGHT);
  }
  return layout;
}

TextSize SizeOf(PangoLayout* layout) {
  int width = 0;
  int height = 0;
  pango_layout_get_size(layout, &width, &height);
  return {static_cast<double>(width) / PANGO_SCALE, static_cast<double>(height) / PANGO_SCALE};
}

}  // namespace

TextSize MeasureText(cairo_t* cairo, const std::string& text, const TextStyle& style) {
  return SizeOf(MakeLayout(cairo, text, style).get());
}

TextSize DrawText(cairo_t* cairo, double x, double y, const std::string& text,
                  const TextStyle& style) {
  const LayoutPtr layout = MakeLayout(cairo, text, style);
  const TextSize size = SizeOf(layout.get());
  if (style.width <= 0.0 && style.align == Align::kCentre) x -= size.width / 2.0;
  if (style.width <= 0.0 && style.align == Align::kRight) x -= size.width;
  cairo_new_path(cairo);
  cairo_move_to(cairo, x, y);
  if (style.halo) {
    pango_cairo_layout_path(cairo, layout.get());
    SetColour(cairo, {15, 15, 20}, 0.85);
    cairo_set_line_width(cairo, style.size * 0.3);
    cairo_set_line_join(cairo, CAIRO_LINE_JOIN_ROUND);
    cairo_stroke(cairo);
    cairo_move_to(cairo, x, y);
  }
  SetColour(cairo, style.rgb);
  pango_cairo_show_layout(cairo, layout.get());
  cairo_new_path(cairo);
  return size;
}

void SetColour(cairo_t* cairo, const cv::Vec3b& rgb, double alpha) {
  cairo_set_source_rgba(cairo, rgb[0] / 255.0, rgb[1] / 255.0, rgb[2] / 255.0, alpha);
}

void FillBox(cairo_t* cairo, double x, double y, double width, double height) {
  cairo_rectangle(cairo, x, y, width, height);
  cairo_fill(cairo);
}

}  // namespace ribwright::programme
