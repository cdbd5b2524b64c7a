// SPDX-License-Identifier: Apache-2.0
#include "programme/sheet_pdf.h"

#include <cairo-pdf.h>

#include <algorithm>
#include <cctype>
#include <filesystem>
#include <opencv2/imgproc.hpp>
#include <string>

#include "base/check.h"
#include "photo/encode.h"
#include "programme/overlay.h"
#include "programme/overlay_legend.h"
#include "programme/sheet_parts.h"
#include "programme/words.h"

namespace ribwright::programme {
namespace {

constexpr double kMargin = 34.0;           // points
constexpr double kPictureMaxPixels = 1e6;  // about 300 dots an inch at half a page
constexpr double kLeastScale = 0.66;

struct Paper {
  double width = 0.0;
  double height = 0.0;
};
// ISO 216 A4 (210 x 297 mm) and US letter (8.5 x 11 in), in points of 1/72 inch.
constexpr Paper kA4{210.0 / 25.4 * 72.0, 297.0 / 25.4 * 72.0};
constexpr Paper kLetter{8.5 * 72.0, 11.0 * 72.0};

struct Picture {
  SurfacePtr surface;
  double width = 0.0;  // pixels
  double height = 0.0;
  std::optional<double> px_per_mm;
};

cairo_status_t Append(void* closure, const unsigned char* data, unsigned int length) {
  auto* bytes = static_cast<std::vector<std::uint8_t>*>(closure);
  bytes->insert(bytes->end(), data, data + length);
  return CAIRO_STATUS_SUCCESS;
}

Result<Picture> MakePicture(const cv::Mat& rgb, const cv::Mat& tissue,
                            const report::PhotoReport& report) {
  OverlayOptions overlay;
  overlay.legend = false;
  overlay.max_pixels = kPictureMaxPixels;
  const cv::Mat drawn = DrawOverlay(rgb, tissue, report, overlay);
  photo::JpegOptions jpeg_options;
  jpeg_options.quality = 88;
  jpeg_options.chroma = photo::ChromaGrid::kFull;
  const auto jpeg = photo::EncodeJpeg(drawn, jpeg_options);
  if (!jpeg) return Fail(jpeg.error());
  Picture picture;
  picture.width = drawn.cols;
  picture.height = drawn.rows;
  picture.surface.reset(cairo_image_surface_create(CAIRO_FORMAT_RGB24, drawn.cols, drawn.rows));
  // The PDF takes the JPEG as it is; the surface's own pixels are never looked at.
  auto* copy = new std::vector<std::uint8_t>(*jpeg);
  const cairo_status_t status = cairo_surface_set_mime_data(
      picture.surface.get(), CAIRO_MIME_TYPE_JPEG, copy->data(), copy->size(),
      [](void* owned) { delete static_cast<std::vector<std::uint8_t>*>(owned); }, copy);
  if (status != CAIRO_STATUS_SUCCESS) {
    delete copy;
    return Fail(Code::kInternal, "The picture could not be set into the page.", "sheet", "");
  }
  if (report.scale.known) {
    picture.px_per_mm = *report.scale.px_per_mm.value * drawn.cols / rgb.cols;
  }
  return picture;
}

// "2026-03-01 12:00 UTC" from "2026-03-01T12:00:00Z"; without the Z it is the camera's own clock.
std::string TimeWords(const std::string& time) {
  if (time.size() < 16) return time;
  std::string words = time.substr(0, 10) + " " + time.substr(11, 5);
  return words + (time.back() == 'Z' ? " UTC" : " by the camera's clock");
}

std::string LengthWords(const std::optional<double>& mm, units::System units, int decimals) {
  if (!mm) return "not given";
  if (units == units::System::kMetric) return units::Fixed(*mm, decimals) + " mm";
  return units::Fixed(*mm / units::kMmPerInch, units::kInchDecimals) + " in";
}

std::string EnteredWords(const report::Entered& entered, units::System units) {
  std::string words = "Entered: thickness " + LengthWords(entered.thickness_mm, units, 0);
  words += ", minutes since cutting ";
  words += entered.bloom_min ? units::Fixed(*entered.bloom_min, 0) : "not given";
  words += ", card's ruler " + LengthWords(entered.card_ruler_mm, units, 1);
  words += entered.card_values ? ", patch values yes" : ", patch values no";
  if (entered.px_per_mm) {
    words += ", scale " + units::Sentence(Measured::Exact(*entered.px_per_mm, "px/mm"), units);
  }
  return words + ".";
}

// What is shown on one page: the report with one of its faces, and which one it is.
struct Page {
  report::PhotoReport report;
  std::size_t number = 1;
  std::size_t pages = 1;
  std::string when;
};

double DrawTitle(const SheetPen& pen, double x, double y, double width, const Page& page) {
  const report::PhotoReport& report = page.report;
  TextStyle title;
  title.size = pen.Size(15.0);
  title.weight = Weight::kBold;
  title.rgb = kSheetInk;
  title.width = width;
  y += DrawText(pen.cairo, x, y, std::filesystem::path(report.photo).filename().string(), title)
           .height +
       pen.Size(2.0);
  std::string line = "Cut face of beef judged from a photo";
  if (page.pages > 1) {
    line.append("; face ").append(std::to_string(page.number)).append(" of ");
    line.append(std::to_string(page.pages)).append(page.number == 1 ? ", the largest" : "");
  }
  line.append(". ");
  if (!page.when.empty()) line.append(page.when).append(". ");
  if (report.entered) line.append(EnteredWords(*report.entered, pen.units)).append(" ");
  std::string scale = ScaleWords(report.scale, pen.units);
  if (report.scale.known) scale.insert(0, "scale: ");
  scale.front() = static_cast<char>(std::toupper(static_cast<unsigned char>(scale.front())));
  line.append(scale)
      .append(". Colour: ")
      .append(report.colour.calibrated ? "calibrated, " : "not calibrated, ");
  line.append(report.colour.source == "none" ? "no reference" : report.colour.source);
  line.append(". Method: ").append(report.method.name).append(", revision ");
  line.append(report.method.revision).append(".");
  TextStyle style;
  style.size = pen.Size(8.0);
  style.rgb = kSheetQuiet;
  style.width = width;
  y += DrawText(pen.cairo, x, y, line, style).height + pen.Size(1.0);
  style.weight = Weight::kBold;
  style.rgb = kSheetInk;
  return y + DrawText(pen.cairo, x, y, std::string(kNotSafety), style).height + pen.Size(6.0);
}

double DrawPicture(const SheetPen& pen, double x, double y, double width, double most_height,
                   const Picture& picture) {
  const double factor = std::min(width / picture.width, most_height / picture.height);
  cairo_save(pen.cairo);
  cairo_translate(pen.cairo, x, y);
  cairo_scale(pen.cairo, factor, factor);
  cairo_set_source_surface(pen.cairo, picture.surface.get(), 0, 0);
  cairo_rectangle(pen.cairo, 0, 0, picture.width, picture.height);
  cairo_fill(pen.cairo);
  cairo_restore(pen.cairo);
  y += picture.height * factor;
  LegendStyle legend;
  legend.width = width;
  legend.text_size = pen.Size(7.0);
  if (picture.px_per_mm) {
    legend.bar =
        ChooseScaleBar(*picture.px_per_mm * factor, 0.3 * width, pen.units == units::System::kUs);
  }
  cairo_save(pen.cairo);
  cairo_translate(pen.cairo, x, 0);
  DrawLegend(pen.cairo, y, legend);
  cairo_restore(pen.cairo);
  return y + LegendHeight(legend) + pen.Size(2.0);
}

// Two columns under the title, cautions and notes across; returns the lowest point.
double DrawPage(const SheetPen& pen, const Paper& paper, const Page& page, const Picture& picture) {
  const report::Face& face = page.report.faces.front();
  const double width = paper.width - 2.0 * kMargin;
  const double gap = 16.0;
  const double left = (width - gap) * 0.56;
  const double right = width - gap - left;
  const double right_x = kMargin + left + gap;
  const double top = DrawTitle(pen, kMargin, kMargin * 0.8, width, page);
  double y = DrawPicture(pen, kMargin, top, left, paper.height * 0.36, picture);
  y = DrawFaceNumbers(pen, kMargin, y, left, face);
  y = DrawMuscleNumbers(pen, kMargin, y, left, face);
  double right_y = DrawGrades(pen, right_x, top - pen.Size(5.0), right, face);
  right_y = DrawSpec(pen, right_x, right_y, right, face);
  right_y = DrawSigns(pen, right_x, right_y, right, face);
  right_y = DrawCautions(pen, right_x, right_y, right, page.report);
  return DrawNotes(pen, kMargin, std::max(y, right_y), width);
}

void DrawFooter(cairo_t* cairo, const Paper& paper) {
  TextStyle style;
  style.size = 7.0;
  style.rgb = kSheetQuiet;
  style.width = paper.width - 2.0 * kMargin;
  style.align = Align::kCentre;
  DrawText(cairo, kMargin, paper.height - kMargin * 0.75,
           "Official grades are given only by graders. Colour never proves a grade. "
           "Ribwright " RIBWRIGHT_VERSION,
           style);
}

// The first of falling sizes at which everything has its place.
double ScaleThatFits(const Paper& paper, const Page& page, const Picture& picture,
                     units::System units) {
  double scale = 1.0;
  for (; scale > kLeastScale; scale -= 0.04) {
    const SurfacePtr trial(cairo_recording_surface_create(CAIRO_CONTENT_COLOR_ALPHA, nullptr));
    const CairoPtr cairo(cairo_create(trial.get()));
    std::vector<std::string> notes;
    if (DrawPage({cairo.get(), scale, units, &notes}, paper, page, picture) <=
        paper.height - kMargin) {
      break;
    }
  }
  return scale;
}

// The tissue inside the face's outline, a little beyond it; other faces are left dark.
cv::Mat TissueOf(const report::Face& face, const cv::Mat& tissue) {
  cv::Mat inside = cv::Mat::zeros(tissue.size(), CV_8U);
  std::vector<std::vector<cv::Point>> rings;
  for (const report::Ring& ring : face.outline_px) {
    auto& points = rings.emplace_back();
    for (const report::Point& p : ring) {
      points.emplace_back(cvRound(p.x - 0.5), cvRound(p.y - 0.5));
    }
  }
  if (rings.empty()) return tissue;
  cv::fillPoly(inside, rings, cv::Scalar(255));
  cv::polylines(inside, rings, true, cv::Scalar(255), 3);
  cv::Mat own = cv::Mat::zeros(tissue.size(), CV_8U);
  tissue.copyTo(own, inside);
  return own;
}

}  // namespace

Result<std::vector<std::uint8_t>> SheetPdf(const cv::Mat& rgb, const cv::Mat& tissue,
                                           const report::PhotoReport& report,
                                           const SheetOptions& options) {
  RIBWRIGHT_CHECK(!report.error && !report.faces.empty());
  const Paper paper = options.units == units::System::kUs ? kLetter : kA4;
  std::vector<std::uint8_t> bytes;
  const SurfacePtr surface(
      cairo_pdf_surface_create_for_stream(Append, &bytes, paper.width, paper.height));
  cairo_pdf_surface_set_metadata(surface.get(), CAIRO_PDF_METADATA_CREATE_DATE,
                                 "2000-01-01T00:00:00Z");
  cairo_pdf_surface_set_metadata(surface.get(), CAIRO_PDF_METADATA_TITLE, "Judged face of beef");
  cairo_pdf_surface_set_metadata(surface.get(), CAIRO_PDF_METADATA_CREATOR, "Ribwright");
  std::string when;
  if (!report.taken.empty()) {
    when = "Photographed " + TimeWords(report.taken);
  } else if (options.judged) {
    when = "Judged " + TimeWords(units::TimeText(*options.judged));
  }
  for (std::size_t i = 0; i < report.faces.size(); ++i) {
    Page page{report, i + 1, report.faces.size(), when};
    page.report.faces = {report.faces[i]};
    const auto picture = MakePicture(rgb, TissueOf(report.faces[i], tissue), page.report);
    if (!picture) return Fail(picture.error());
    const CairoPtr cairo(cairo_create(surface.get()));
    std::vector<std::string> notes;
    const double scale = ScaleThatFits(paper, page, *picture, options.units);
    DrawPage({cairo.get(), scale, options.units, &notes}, paper, page, *picture);
    DrawFooter(cairo.get(), paper);
    cairo_show_page(cairo.get());
  }
  cairo_surface_finish(surface.get());
  if (cairo_surface_status(surface.get()) != CAIRO_STATUS_SUCCESS) {
    return Fail(Code::kInternal, "The page could not be drawn.", "sheet", "Please report it.");
  }
  return bytes;
}

}  // namespace ribwright::programme
