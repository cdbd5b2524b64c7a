// SPDX-License-Identifier: Apache-2.0
// Two things that a close look at real faces shows and plain strokes lack; both change the truth
// raster itself, before it is counted.
//
// BiteFlecks: bundles of lean end in the fat, so the edge of a fleck is notched along the fibres.
// The fat inside each muscle is shifted along its fibres by about recipe.jag_mm, from bundle to
// bundle (0.5 mm) another way. DrawSilverskin: a pearly membrane, 0.3-3 mm wide, along some
// stretches of a muscle's border. It is connective tissue: line in the raster, lean in every count.
#pragma once

#include "phantom/face_raster.h"
#include "phantom/recipe.h"

namespace ribwright::phantom {

void BiteFlecks(FaceRaster& face, const Recipe& recipe);
void DrawSilverskin(FaceRaster& face, const Recipe& recipe);

}  // namespace ribwright::phantom
