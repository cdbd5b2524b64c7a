// SPDX-License-Identifier: Apache-2.0
// Scene: where pieces, card and camera stand. World frame of camera.h; every piece lies flat, its
// face recipe.thickness_mm above the board.
#pragma once

#include <opencv2/core.hpp>
#include <vector>

#include "phantom/camera.h"
#include "phantom/card_print.h"
#include "phantom/face_raster.h"
#include "phantom/recipe.h"

namespace ribwright::phantom {

struct Piece {
  Recipe recipe;  // of this piece: its own seed and marbling
  FaceRaster face;
  cv::Matx33d world_from_face;  // of millimetres in the face's plane; may mirror
  MmRing outline;               // world, mm

  cv::Point2d WorldFromFace(cv::Point2d p) const {
    const cv::Vec3d v = world_from_face * cv::Vec3d(p.x, p.y, 1);
    return {v[0], v[1]};
  }
};

struct Scene {
  std::vector<Piece> pieces;  // the recipe's own first
  Camera camera;
  bool has_card = false;
  cv::Matx33d world_from_card;  // of printed millimetres
};

// Draws the pieces' rasters and places everything.
Scene BuildScene(const Recipe& recipe);

}  // namespace ribwright::phantom
