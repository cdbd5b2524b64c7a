// SPDX-License-Identifier: Apache-2.0
#include "programme/overlay.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <opencv2/imgproc.hpp>
#include <string>
#include <vector>

#include "base/check.h"
#include "programme/draw.h"
#include "programme/overlay_legend.h"
#include "programme/tissue_paint.h"
#include "programme/words.h"

namespace ribwright::programme {
namespace {

const cv::Vec3b kLine(255, 255, 255);
const cv::Vec3b kCasing(15, 15, 20);

struct Pen {
  cairo_t* cairo = nullptr;
  double scale = 1.0;  // overlay pixels a photo pixel
  double unit = 1.0;   // a thin line's width
};

void Trace(const Pen& pen, const report::Outline& outline) {
  cairo_new_path(pen.cairo);
  for (const report::Ring& ring : outline) {
    bool first = true;
    for (const report::Point& p : ring) {
      if (first) {
        cairo_move_to(pen.cairo, p.x * pen.scale, p.y * pen.scale);
      } else {
        cairo_line_to(pen.cairo, p.x * pen.scale, p.y * pen.scale);
      }
      first = false;
    }
    cairo_close_path(pen.cairo);
  }
}

void Stroke(const Pen& pen, const report::Outline& outline, double width, bool dashed) {
  cairo_set_line_join(pen.cairo, CAIRO_LINE_JOIN_ROUND);
  Trace(pen, outline);
  SetColour(pen.cairo, kCasing, 0.7);
  cairo_set_line_width(pen.cairo, width + 1.4 * pen.unit);
  cairo_stroke_preserve(pen.cairo);
  SetColour(pen.cairo, kLine);
  cairo_set_line_width(pen.cairo, width);
  const std::array<double, 2> dash = {width * 5.0, width * 2.5};
  if (dashed) cairo_set_dash(pen.cairo, dash.data(), 2, 0.0);
  cairo_stroke(pen.cairo);
  cairo_set_dash(pen.cairo, nullptr, 0, 0.0);
}

struct Spot {
  cv::Point2d centre;
  double radius = 0.0;
};

// The middle of the widest part, where a label fits best; photo pixels.
Spot WidestSpot(const report::Outline& outline) {
  double left = 1e300;
  double top = 1e300;
  double right = -1e300;
  double bottom = -1e300;
  for (const report::Ring& ring : outline) {
    for (const report::Point& p : ring) {
      left = std::min(left, p.x);
      right = std::max(right, p.x);
      top = std::min(top, p.y);
      bottom = std::max(bottom, p.y);
    }
  }
  if (!(right > left) || !(bottom > top)) return {};
  const double grid = 160.0 / std::max(right - left, bottom - top);
  std::vector<std::vector<cv::Point>> rings;
  for (const report::Ring& ring : outline) {
    auto& points = rings.emplace_back();
    for (const report::Point& p : ring) {
      points.emplace_back(static_cast<int>(std::lround((p.x - left) * grid)) + 1,
                          static_cast<int>(std::lround((p.y - top) * grid)) + 1);
    }
  }
  cv::Mat mask = cv::Mat::zeros(static_cast<int>((bottom - top) * grid) + 3,
                                static_cast<int>((right - left) * grid) + 3, CV_8U);
  cv::fillPoly(mask, rings, cv::Scalar(255));
  cv::Mat distance;
  cv::distanceTransform(mask, distance, cv::DIST_L2, cv::DIST_MASK_5);
  double radius = 0.0;
  cv::Point at;
  cv::minMaxLoc(distance, nullptr, &radius, nullptr, &at);
  return {{left + (at.x - 0.5) / grid, top + (at.y - 0.5) / grid}, radius / grid};
}

std::string LabelOf(const report::Muscle& muscle) {
  std::string label(MuscleWords(muscle.name));
  if (muscle.marbling_pct.Known()) {
    label += ' ';
    label += units::Show(muscle.marbling_pct, units::System::kMetric).value;
    label += " %";
  }
  return label;
}

// Names at the widest spots; a label that would lie on an earlier one moves down.
void NameMuscles(const Pen& pen, const report::Face& face, double text_size, double photo_width,
                 std::vector<cv::Rect2d>& taken) {
  for (const report::Muscle& muscle : face.muscles) {
    if (muscle.outline_px.empty()) continue;
    if (muscle.name == report::MuscleName::kOther) continue;  // unnamed: the dashed line says it
    const Spot spot = WidestSpot(muscle.outline_px);
    TextStyle style;
    style.size = std::clamp(spot.radius * pen.scale * 0.7, 0.7 * text_size, 1.2 * text_size);
    style.weight = Weight::kBold;
    style.rgb = kLine;
    style.halo = true;
    const std::string label = LabelOf(muscle);
    const TextSize size = MeasureText(pen.cairo, label, style);
    cv::Rect2d box(spot.centre.x * pen.scale - size.width / 2.0,
                   spot.centre.y * pen.scale - size.height / 2.0, size.width, size.height);
    const double room = photo_width - box.width;
    box.x = room > 0.0 ? std::clamp(box.x, 0.0, room) : 0.0;
    for (int tries = 0; tries < 6; ++tries) {
      const bool hit = std::any_of(taken.begin(), taken.end(), [&](const cv::Rect2d& other) {
        return (other & box).area() > 0.0;
      });
      if (!hit) break;
      box.y += size.height * 0.5;
    }
    taken.push_back(box);
    DrawText(pen.cairo, box.x, box.y, label, style);
  }
}

void DrawFaces(const Pen& pen, const report::PhotoReport& report, double text_size,
               double photo_width) {
  std::vector<cv::Rect2d> taken;
  for (const report::Face& face : report.faces) {
    Stroke(pen, face.outline_px, pen.unit, false);
    const report::Muscle* eye = EyeOf(face);
    for (const report::Muscle& muscle : face.muscles) {
      if (&muscle != eye) Stroke(pen, muscle.outline_px, 1.3 * pen.unit, true);
    }
    if (eye != nullptr) Stroke(pen, eye->outline_px, 2.0 * pen.unit, false);
  }
  int number = 0;
  for (const report::Face& face : report.faces) {
    ++number;
    NameMuscles(pen, face, text_size, photo_width, taken);
    if (report.faces.size() < 2 || face.outline_px.empty()) continue;
    report::Point top{0.0, 1e300};
    for (const report::Point& p : face.outline_px.front()) top = p.y < top.y ? p : top;
    TextStyle style;
    style.size = text_size * 1.3;
    style.weight = Weight::kBold;
    style.align = Align::kCentre;
    style.rgb = kLine;
    style.halo = true;
    DrawText(pen.cairo, top.x * pen.scale, std::max(0.0, top.y * pen.scale - 1.8 * text_size),
             std::string("face ").append(std::to_string(number)), style);
  }
}

}  // namespace

cv::Mat DrawOverlay(const cv::Mat& rgb, const cv::Mat& tissue, const report::PhotoReport& report,
                    const OverlayOptions& options) {
  RIBWRIGHT_CHECK(!rgb.empty() && rgb.size() == tissue.size());
  cv::Mat small_rgb = rgb;
  cv::Mat small_tissue = tissue;
  const double scale =
      std::min(1.0, std::sqrt(options.max_pixels / static_cast<double>(rgb.total())));
  if (scale < 1.0) {
    const cv::Size size(std::max(1, static_cast<int>(rgb.cols * scale)),
                        std::max(1, static_cast<int>(rgb.rows * scale)));
    cv::resize(rgb, small_rgb, size, 0, 0, cv::INTER_AREA);
    cv::resize(tissue, small_tissue, size, 0, 0, cv::INTER_NEAREST);
  }
  const double used = static_cast<double>(small_rgb.cols) / rgb.cols;
  const double diagonal = std::hypot(small_rgb.cols, small_rgb.rows);
  LegendStyle legend;
  legend.width = small_rgb.cols;
  legend.text_size = std::max(9.0, diagonal * 0.0125);
  if (report.scale.known) {
    legend.bar = ChooseScaleBar(*report.scale.px_per_mm.value * used, 0.3 * small_rgb.cols,
                                options.units == units::System::kUs);
  }
  const int strip = options.legend ? static_cast<int>(std::ceil(LegendHeight(legend))) : 0;
  const cv::Mat painted = PaintTissue(small_rgb, small_tissue, small_rgb.rows + strip,
                                      std::max(3, static_cast<int>(diagonal / 500.0)));
  const SurfacePtr surface(cairo_image_surface_create_for_data(painted.data, CAIRO_FORMAT_RGB24,
                                                               painted.cols, painted.rows,
                                                               static_cast<int>(painted.step[0])));
  RIBWRIGHT_CHECK(cairo_surface_status(surface.get()) == CAIRO_STATUS_SUCCESS);
  {
    const CairoPtr cairo(cairo_create(surface.get()));
    const Pen pen{cairo.get(), used, std::max(1.0, diagonal / 1800.0)};
    DrawFaces(pen, report, std::max(9.0, diagonal * 0.014), small_rgb.cols);
    if (options.legend) DrawLegend(cairo.get(), small_rgb.rows, legend);
  }
  cairo_surface_finish(surface.get());
  return PackRgb(painted);
}

}  // namespace ribwright::programme
