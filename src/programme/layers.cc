// SPDX-License-Identifier: Apache-2.0
#include "programme/layers.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <opencv2/imgproc.hpp>
#include <utility>

#include "base/check.h"
#include "photo/encode_indexed.h"
#include "programme/cover_ruler.h"
#include "programme/palette.h"
#include "report/tissue.h"

namespace ribwright::programme {
namespace {

using photo::PaletteEntry;
using report::Tissue;

// Muscles apart from each other and from the fat colours; our own choice.
constexpr std::array<std::array<std::uint8_t, 3>, 7> kMuscleColours = {{
    {64, 156, 255},   // longissimus
    {255, 120, 200},  // spinalis
    {120, 220, 120},  // complexus
    {250, 220, 90},   // multifidus
    {170, 130, 255},  // rhomboideus
    {90, 230, 220},   // gluteus medius
    {200, 200, 200},  // other
}};
constexpr std::uint8_t kMuscleOpacity = 110;

cv::Size LayerSize(cv::Size photo) {
  const double scale = LayerScale(photo);
  return {std::max(1, static_cast<int>(std::lround(photo.width * scale))),
          std::max(1, static_cast<int>(std::lround(photo.height * scale)))};
}

// Share of each layer pixel that a mask covers, 0..kLayerSteps.
cv::Mat Steps(const cv::Mat& mask) {
  cv::Mat share;
  cv::resize(mask, share, LayerSize(mask.size()), 0, 0, cv::INTER_AREA);
  cv::Mat steps;
  share.convertTo(steps, CV_8U, kLayerSteps / 255.0);
  return steps;
}

const TissuePaint& PaintOf(Tissue tissue) {
  const auto paints = TissuePaints();
  const auto found = std::find_if(paints.begin(), paints.end(),
                                  [&](const TissuePaint& p) { return p.tissue == tissue; });
  RIBWRIGHT_CHECK(found != paints.end());
  return *found;
}

void AddPaint(Tissue tissue, std::vector<PaletteEntry>& palette) {
  const TissuePaint& paint = PaintOf(tissue);
  for (int step = 1; step <= kLayerSteps; ++step) {
    palette.push_back(
        {{paint.rgb[0], paint.rgb[1], paint.rgb[2]},
         static_cast<std::uint8_t>(std::lround(255.0 * paint.opacity * step / kLayerSteps))});
  }
}

Result<std::vector<std::uint8_t>> OneTissue(const cv::Mat& mask, Tissue tissue) {
  std::vector<PaletteEntry> palette = {{{0, 0, 0}, 0}};
  AddPaint(tissue, palette);
  return photo::EncodeIndexedPng(Steps(mask), palette);
}

Result<std::vector<std::uint8_t>> Fat(const cv::Mat& tissue) {
  const cv::Mat inside = Steps(tissue == static_cast<int>(Tissue::kMuscleFat));
  const cv::Mat other = Steps(tissue == static_cast<int>(Tissue::kOtherFat));
  std::vector<PaletteEntry> palette = {{{0, 0, 0}, 0}};
  AddPaint(Tissue::kMuscleFat, palette);
  AddPaint(Tissue::kOtherFat, palette);
  cv::Mat indices = inside.clone();
  // The one that covers more of the pixel.
  cv::Mat(other + kLayerSteps).copyTo(indices, (other > inside) & (other > 0));
  return photo::EncodeIndexedPng(indices, palette);
}

void Fill(const report::Outline& outline, double scale, int index, cv::Mat& indices) {
  constexpr int kShift = 4;
  std::vector<std::vector<cv::Point>> rings;
  for (const report::Ring& ring : outline) {
    auto& points = rings.emplace_back();
    for (const report::Point& p : ring) {
      points.emplace_back(static_cast<int>(std::lround((p.x * scale - 0.5) * (1 << kShift))),
                          static_cast<int>(std::lround((p.y * scale - 0.5) * (1 << kShift))));
    }
  }
  if (!rings.empty()) cv::fillPoly(indices, rings, cv::Scalar(index), cv::LINE_8, kShift);
}

Result<std::vector<std::uint8_t>> Muscles(const report::PhotoReport& report, cv::Size photo) {
  cv::Mat indices = cv::Mat::zeros(LayerSize(photo), CV_8U);
  std::vector<PaletteEntry> palette = {{{0, 0, 0}, 0}};
  for (const auto& rgb : kMuscleColours) palette.push_back({rgb, kMuscleOpacity});
  for (const report::Face& face : report.faces) {
    for (const report::Muscle& muscle : face.muscles) {
      Fill(muscle.outline_px, LayerScale(photo), 1 + static_cast<int>(muscle.name), indices);
    }
  }
  return photo::EncodeIndexedPng(indices, palette);
}

// A line with a bar across each end, dark below and light above, so that it shows on lean and fat.
void DrawRulerLine(const RulerLine& line, cv::Mat& indices) {
  constexpr int kShift = 4;
  constexpr double kHalfBar = 3.5;
  const auto fixed = [](cv::Point2d p) {
    return cv::Point(static_cast<int>(std::lround(p.x * (1 << kShift))),
                     static_cast<int>(std::lround(p.y * (1 << kShift))));
  };
  cv::Point2d across = line.muscle - line.edge;
  across *= kHalfBar / std::hypot(across.x, across.y);
  across = {-across.y, across.x};
  for (const auto& [index, width] : {std::pair{1, 5}, std::pair{2, 2}}) {
    const cv::Scalar colour(index);
    cv::line(indices, fixed(line.edge), fixed(line.muscle), colour, width, cv::LINE_8, kShift);
    for (const cv::Point2d end : {line.edge, line.muscle}) {
      cv::line(indices, fixed(end - across), fixed(end + across), colour, width, cv::LINE_8,
               kShift);
    }
  }
}

Result<std::vector<std::uint8_t>> Cover(const cv::Mat& tissue, const report::PhotoReport& report) {
  const double scale = LayerScale(tissue.size());
  cv::Mat indices = cv::Mat::zeros(LayerSize(tissue.size()), CV_8U);
  RulerInput in;
  in.bone = Steps(tissue == static_cast<int>(Tissue::kBone)) > kLayerSteps / 2;
  if (report.scale.px_per_mm.Known()) in.px_per_mm = *report.scale.px_per_mm.value * scale;
  for (const report::Face& face : report.faces) {
    in.inside = cv::Mat::zeros(indices.size(), CV_8U);
    in.muscles = cv::Mat::zeros(indices.size(), CV_8U);
    Fill(face.outline_px, scale, 255, in.inside);
    for (const report::Muscle& muscle : face.muscles) {
      Fill(muscle.outline_px, scale, 255, in.muscles);
    }
    for (const RulerLine& line : CoverRuler(in)) DrawRulerLine(line, indices);
  }
  const TissuePaint& paint = PaintOf(Tissue::kOtherFat);
  const PaletteEntry light = {{paint.rgb[0], paint.rgb[1], paint.rgb[2]}, 255};
  return photo::EncodeIndexedPng(
      indices, std::vector<PaletteEntry>{{{0, 0, 0}, 0}, {{16, 18, 20}, 190}, light});
}

}  // namespace

double LayerScale(cv::Size photo) {
  return std::min(1.0, static_cast<double>(kLayerSide) / std::max(photo.width, photo.height));
}

cv::Mat LayerPicture(const cv::Mat& rgb) {
  const cv::Size size = LayerSize(rgb.size());
  if (size == rgb.size()) return rgb;
  cv::Mat small;
  cv::resize(rgb, small, size, 0, 0, cv::INTER_AREA);
  return small;
}

Result<Layers> DrawLayers(const cv::Mat& tissue, const report::PhotoReport& report) {
  RIBWRIGHT_CHECK(!tissue.empty() && tissue.type() == CV_8UC1);
  auto fat = Fat(tissue);
  if (!fat) return Fail(fat.error());
  auto muscles = Muscles(report, tissue.size());
  if (!muscles) return Fail(muscles.error());
  auto cover = Cover(tissue, report);
  if (!cover) return Fail(cover.error());
  auto glare = OneTissue(tissue == static_cast<int>(Tissue::kUnreadable), Tissue::kUnreadable);
  if (!glare) return Fail(glare.error());
  return Layers{std::move(*fat), std::move(*muscles), std::move(*cover), std::move(*glare)};
}

}  // namespace ribwright::programme
