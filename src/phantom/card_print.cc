// SPDX-License-Identifier: Apache-2.0
#include "phantom/card_print.h"

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "math/rng.h"
#include "phantom/field.h"
#include "phantom/surface.h"
#include "photo/card_layout.h"

namespace ribwright::phantom {
namespace {

cv::Vec3d LinearOf(const photo::Srgb8& c) {
  return {LinearFromSrgb(c.r / 255.0), LinearFromSrgb(c.g / 255.0), LinearFromSrgb(c.b / 255.0)};
}

// Fills a rectangle in pixels; a pixel that it covers in part gets its share.
void FillPartly(cv::Mat& look, double x0, double y0, double x1, double y1,
                const cv::Vec3d& colour) {
  const auto covered = [](double low, double high, int i) {
    return std::min(high, i + 1.0) - std::max(low, 1.0 * i);
  };
  const cv::Vec3f c(colour * kUnit);
  for (int y = std::max(0, static_cast<int>(y0)); y < std::min<double>(look.rows, y1); ++y) {
    auto* row = look.ptr<cv::Vec<std::uint16_t, 4>>(y);
    const double wy = covered(y0, y1, y);
    for (int x = std::max(0, static_cast<int>(x0)); x < std::min<double>(look.cols, x1); ++x) {
      const auto w = static_cast<float>(wy * covered(x0, x1, x));
      for (int k = 0; k < 3; ++k)
        row[x][k] = cv::saturate_cast<std::uint16_t>(row[x][k] + w * (c[k] - row[x][k]));
    }
  }
}

}  // namespace

PrintedCard PrintCard(const Recipe& recipe, double px_per_mm) {
  const math::Rng root = math::Rng(recipe.seed).Fork(600);
  math::Rng rng = root.Fork(1);
  PrintedCard card;
  card.px_per_mm = px_per_mm;
  card.width_mm = photo::kCardWidthMm * recipe.printer_scale_x;
  card.height_mm = photo::kCardHeightMm * recipe.printer_scale_y;
  card.ruler_mm = photo::kCardRulerMm * recipe.printer_scale_x;
  const PaintLab nominal_paper = LabFromLinear(LinearOf(photo::kCardPaper));
  const PaintLab paper_lab{nominal_paper.L + rng.Uniform(-3, 1.5), rng.Normal(0, 0.8),
                           rng.Normal(-0.5, 1.8)};
  const cv::Vec3d paper = LinearFromLab(paper_lab);
  const cv::Vec3d ink = LinearFromLab({rng.Uniform(12, 24), rng.Normal(0, 1), rng.Normal(0, 1)});
  card.patches.push_back({std::string(photo::kCardPaperId), LabFromLinear(paper)});
  std::vector<cv::Vec3d> patch;
  const double sd = recipe.printer_colour_sd;
  const double dark = rng.Normal(0, 0.8 * sd);  // the print as a whole too dark or too pale
  for (const photo::CardPatch& p : photo::CardPatches()) {
    PaintLab lab = LabFromLinear(LinearOf(p.colour));
    lab.L = std::clamp(
        lab.L + dark * (lab.L / 100.0) * (1.0 - lab.L / 100.0) * 4.0 + rng.Normal(0, 0.4 * sd), 8.0,
        paper_lab.L);
    lab.a += rng.Normal(0, p.neutral ? 0.15 * sd : 0.6 * sd) + paper_lab.a * lab.L / 100.0;
    lab.b += rng.Normal(0, p.neutral ? 0.15 * sd : 0.6 * sd) + paper_lab.b * lab.L / 100.0;
    const cv::Vec3d linear = LinearFromLab(lab);
    patch.push_back(linear);
    card.patches.push_back({std::string(p.id), LabFromLinear(linear)});
  }
  const cv::Size size(static_cast<int>(std::lround(card.width_mm * px_per_mm)),
                      static_cast<int>(std::lround(card.height_mm * px_per_mm)));
  card.px_per_mm = size.width / card.width_mm;
  card.look = cv::Mat(size, CV_16UC4, cv::Scalar::all(kUnit));
  const double sx = size.width / photo::kCardWidthMm;
  const double sy = size.height / photo::kCardHeightMm;
  for (const photo::CardRect& r : photo::CardRects()) {
    const cv::Vec3d colour = r.kind == photo::CardKind::kPaper ? paper
                             : r.kind == photo::CardKind::kInk
                                 ? ink
                                 : patch[static_cast<std::size_t>(r.patch)];
    FillPartly(card.look, r.x_mm * sx, r.y_mm * sy, (r.x_mm + r.width_mm) * sx,
               (r.y_mm + r.height_mm) * sy, colour);
  }
  // Ink creeps, paper is not even, and a wet finger leaves a mark now and then.
  cv::GaussianBlur(card.look, card.look, {}, std::max(0.3, 0.05 * px_per_mm));
  const double step = std::max(1.0, px_per_mm / 2.0);  // at 2 px/mm
  const cv::Size coarse = CoarseSize(size, step);
  const double c = px_per_mm / step;
  SlowRows mottle_rows(OctaveField(coarse, 6.0 * c, 3, 0.6, root.Fork(2)), step, size);
  SlowRows stain_rows(SmoothField(coarse, 18.0 * c, root.Fork(3)), step, size);
  const bool stained = rng.Chance(0.25);
  for (int y = 0; y < size.height; ++y) {
    auto* row = card.look.ptr<cv::Vec<std::uint16_t, 4>>(y);
    const float* mottle = mottle_rows.Row(y);
    const float* stain = stain_rows.Row(y);
    for (int x = 0; x < size.width; ++x) {
      const float v = 1.0F + 0.006F * mottle[x];
      const float wet = stained ? std::clamp((stain[x] - 1.7F) * 1.2F, 0.0F, 0.35F) : 0.0F;
      // Paper and ink reflect at most 1.05, so no value leaves 16 bits.
      row[x][0] = static_cast<std::uint16_t>(row[x][0] * (v * (1.0F - 0.3F * wet)) + 0.5F);
      row[x][1] = static_cast<std::uint16_t>(row[x][1] * (v * (1.0F - 1.3F * wet)) + 0.5F);
      row[x][2] = static_cast<std::uint16_t>(row[x][2] * (v * (1.0F - 1.2F * wet)) + 0.5F);
    }
  }
  return card;
}

}  // namespace ribwright::phantom
