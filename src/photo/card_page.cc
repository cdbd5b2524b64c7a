// SPDX-License-Identifier: Apache-2.0
#include "photo/card_page.h"

#include <cmath>

namespace ribwright::photo {
namespace {

constexpr double kPointsPerMm = 72.0 / 25.4;

cairo_status_t Collect(void* closure, const unsigned char* data, unsigned int length) {
  auto* bytes = static_cast<std::vector<std::uint8_t>*>(closure);
  bytes->insert(bytes->end(), data, data + length);
  return CAIRO_STATUS_SUCCESS;
}

struct ObjectDeleter {
  void operator()(gpointer object) const { g_object_unref(object); }
};
struct FontDeleter {
  void operator()(PangoFontDescription* d) const { pango_font_description_free(d); }
};
struct OptionsDeleter {
  void operator()(cairo_font_options_t* o) const { cairo_font_options_destroy(o); }
};

}  // namespace

CardPage::CardPage(double width_mm, double height_mm, const std::string& title)
    : surface_(cairo_pdf_surface_create_for_stream(Collect, &bytes_, width_mm * kPointsPerMm,
                                                   height_mm * kPointsPerMm)) {
  cairo_pdf_surface_set_metadata(surface_.get(), CAIRO_PDF_METADATA_TITLE, title.c_str());
  // Fixed, so that the same page has the same bytes.
  cairo_pdf_surface_set_metadata(surface_.get(), CAIRO_PDF_METADATA_CREATE_DATE,
                                 "2026-01-01T00:00:00Z");
  cairo_.reset(cairo_create(surface_.get()));
}

void CardPage::Fill(double x, double y, double width, double height, double r, double g, double b) {
  cairo_set_source_rgb(cairo_.get(), r, g, b);
  cairo_rectangle(cairo_.get(), x * kPointsPerMm, y * kPointsPerMm, width * kPointsPerMm,
                  height * kPointsPerMm);
  cairo_fill(cairo_.get());
}

void CardPage::Line(double x0, double y0, double x1, double y1, double width, double grey) {
  cairo_set_source_rgb(cairo_.get(), grey, grey, grey);
  cairo_set_line_width(cairo_.get(), width * kPointsPerMm);
  cairo_move_to(cairo_.get(), x0 * kPointsPerMm, y0 * kPointsPerMm);
  cairo_line_to(cairo_.get(), x1 * kPointsPerMm, y1 * kPointsPerMm);
  cairo_stroke(cairo_.get());
}

double CardPage::Text(double x, double y, const std::string& utf8, const TextStyle& style) {
  const std::unique_ptr<PangoLayout, ObjectDeleter> layout(pango_cairo_create_layout(cairo_.get()));
  const std::unique_ptr<cairo_font_options_t, OptionsDeleter> options(cairo_font_options_create());
  cairo_font_options_set_hint_style(options.get(), CAIRO_HINT_STYLE_NONE);
  cairo_font_options_set_hint_metrics(options.get(), CAIRO_HINT_METRICS_OFF);
  PangoContext* context = pango_layout_get_context(layout.get());
  pango_cairo_context_set_font_options(context, options.get());
  pango_cairo_context_set_resolution(context, 72.0);
  pango_context_set_round_glyph_positions(context, FALSE);
  const std::unique_ptr<PangoFontDescription, FontDeleter> font(pango_font_description_new());
  pango_font_description_set_family(font.get(), "DejaVu Sans");
  pango_font_description_set_weight(font.get(),
                                    style.bold ? PANGO_WEIGHT_BOLD : PANGO_WEIGHT_NORMAL);
  pango_font_description_set_absolute_size(font.get(), style.size_mm * kPointsPerMm * PANGO_SCALE);
  pango_layout_set_font_description(layout.get(), font.get());
  pango_layout_set_text(layout.get(), utf8.c_str(), static_cast<int>(utf8.size()));
  if (style.width_mm > 0.0) {
    pango_layout_set_width(
        layout.get(), static_cast<int>(std::lround(style.width_mm * kPointsPerMm * PANGO_SCALE)));
    pango_layout_set_wrap(layout.get(), PANGO_WRAP_WORD);
    pango_layout_set_line_spacing(layout.get(), 1.15F);
  }
  PangoRectangle extents;
  pango_layout_get_extents(layout.get(), nullptr, &extents);
  const double width = static_cast<double>(extents.width) / PANGO_SCALE / kPointsPerMm;
  const double shift = style.align == Align::kLeft     ? 0.0
                       : style.align == Align::kCentre ? width / 2.0
                                                       : width;
  cairo_set_source_rgb(cairo_.get(), style.grey, style.grey, style.grey);
  cairo_move_to(cairo_.get(), (x - shift) * kPointsPerMm, y * kPointsPerMm);
  pango_cairo_show_layout(cairo_.get(), layout.get());
  return static_cast<double>(extents.height) / PANGO_SCALE / kPointsPerMm;
}

Result<std::vector<std::uint8_t>> CardPage::Finish() {
  cairo_show_page(cairo_.get());
  const cairo_status_t drawn = cairo_status(cairo_.get());
  cairo_.reset();
  cairo_surface_finish(surface_.get());
  const cairo_status_t written = cairo_surface_status(surface_.get());
  for (const cairo_status_t status : {drawn, written}) {
    if (status != CAIRO_STATUS_SUCCESS) {
      return Fail(
          Code::kInternal,
          std::string("The page could not be drawn: ") + cairo_status_to_string(status) + ".",
          "the card's page", "Free some memory and try again.");
    }
  }
  return std::move(bytes_);
}

}  // namespace ribwright::photo
