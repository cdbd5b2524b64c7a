// SPDX-License-Identifier: Apache-2.0
// Draws fat inside muscles: branching tapering veins 0.05-4 mm wide along the muscle's fibre
// directions, short dashes and dots, and fine threads, added until the muscle's aimed share is
// reached. What was aimed is not the truth: the truth is what the raster then holds. Also
// connective-tissue lines, which are lean.
//
// Cost: about 20 ns a painted pixel, under 0.3 s for a face at 20 px/mm.
#pragma once

#include "phantom/face_raster.h"
#include "phantom/recipe.h"

namespace ribwright::phantom {

void DrawFlecks(FaceRaster& face, const Recipe& recipe);
// Long, thin, pale lines in muscles and sheaths along muscle borders, recipe.connective_lines of
// them.
void DrawConnectiveLines(FaceRaster& face, const Recipe& recipe);

}  // namespace ribwright::phantom
