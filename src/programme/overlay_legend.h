// SPDX-License-Identifier: Apache-2.0
// The strip under an overlay: what each colour and line means, and a scale bar.
#pragma once

#include <optional>
#include <string>

#include "programme/draw.h"

namespace ribwright::programme {

struct ScaleBar {
  double length_px = 0.0;
  std::string words;  // "50 mm"
};
// A round length of at most `room_px`; nothing where even the shortest does not fit.
std::optional<ScaleBar> ChooseScaleBar(double px_per_mm, double room_px, bool us);

struct LegendStyle {
  double width = 0.0;
  double text_size = 0.0;
  std::optional<ScaleBar> bar;
};

// Height the legend needs, and the legend drawn with its top at y.
double LegendHeight(const LegendStyle& style);
void DrawLegend(cairo_t* cairo, double y, const LegendStyle& style);

}  // namespace ribwright::programme
