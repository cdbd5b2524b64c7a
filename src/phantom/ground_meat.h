// SPDX-License-Identifier: Apache-2.0
// Ground meat in the shape of a face: strands 2.4-4 mm thick and 8-25 mm long, laid over each other
// in every direction, some of fat and some smeared with it. There is no muscle to judge; the truth
// calls all of it one muscle "other". Fills face.shade with the hollows between strands.
#pragma once

#include "phantom/face_raster.h"
#include "phantom/recipe.h"

namespace ribwright::phantom {

void GrindFace(FaceRaster& face, const Recipe& recipe);

}  // namespace ribwright::phantom
