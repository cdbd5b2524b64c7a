// SPDX-License-Identifier: Apache-2.0
// Phantom: a photo of drawn cut faces whose truth is known, because it is drawn.
//
// Steps, in the order of nature: anatomy in mm (anatomy.h), a fine truth raster (face_raster.h,
// flecks.h), the look of the surface (surface.h), board, card, shadows and side wall, a pinhole
// camera (camera.h), light across the scene, then lens, sensor and JPEG (sensor.h). Truth is
// counted on the noiseless raster (truth.h) and carried into the photo by the exact homography;
// light, blur, noise and JPEG never touch it.
//
// Cost: under 2 s and 500 MB for a 12 MP photo on one core. The same recipe gives the same bytes
// for one build, whatever runs beside it. Thread-safe: no shared state. Errors: only from the JPEG
// encoder (kInternal).
#pragma once

#include <cstdint>
#include <opencv2/core/mat.hpp>
#include <vector>

#include "base/result.h"
#include "phantom/camera.h"
#include "phantom/card_print.h"
#include "phantom/recipe.h"
#include "report/photo_report.h"

namespace ribwright::phantom {

struct PhantomFace {
  cv::Matx33d px_from_mm;  // face plane (any fixed mm frame of its own) to photo pixels
};

struct Phantom {
  Recipe recipe;
  std::vector<std::uint8_t> jpeg;  // with focal lengths in its EXIF block
  cv::Mat rgb;                     // CV_8UC3 before JPEG
  cv::Mat tissue;                  // CV_8U, report::Tissue, photo grid
  cv::Mat muscle;                  // CV_8U, photo grid: 0 none, 1 + report::MuscleName
  cv::Mat fat;                     // CV_8U, photo grid: share of the pixel that is fat, blur aside
  cv::Mat line;                    // CV_8U, photo grid: share that is connective line
  report::PhotoReport truth;       // faces largest first, as the judge lists them
  std::vector<PhantomFace> faces;  // in the order of truth.faces
  double thickness_mm = 0.0;
  Camera camera;
  bool has_card = false;
  cv::Matx33d px_from_card;                // printed millimetres to photo pixels
  double card_ruler_mm = 0.0;              // what the 150 mm ruler measures on this print
  std::vector<PrintedPatch> card_patches;  // what a colour meter would read
};

Result<Phantom> Render(const Recipe& recipe);

}  // namespace ribwright::phantom
