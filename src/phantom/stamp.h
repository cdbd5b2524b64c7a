// SPDX-License-Identifier: Apache-2.0
// Stamp: one face's surface laid into the photo through its homography, light and truth in one
// pass, so that each photo pixel is carried back to the surface once.
//
// Look, fat, line and glare are read linearly between the surface's pixels, the label at the
// nearest. A photo pixel takes the label's tissue; where the glare passes half it is unreadable.
// Cost: about 30 ns a photo pixel of the face.
#pragma once

#include <cstdint>
#include <opencv2/core/mat.hpp>

#include "phantom/face_raster.h"
#include "phantom/surface.h"

namespace ribwright::phantom {

using Pixel3 = cv::Vec<std::uint16_t, 3>;  // linear light, kUnit is 1
using Pixel4 = cv::Vec<std::uint16_t, 4>;  // premultiplied, with cover

struct Layers {  // truth on the photo grid, 8U; see render.h
  cv::Mat tissue, muscle, fat, line;
};

struct StampCount {  // photo pixels of this face, covered by others or not
  std::int64_t face = 0;
  std::int64_t glare = 0;
};

Pixel3 Over(const Pixel4& above, const Pixel3& below);

// Where a texture lands in the photo, with a pixel of room.
cv::Rect Landing(const cv::Matx33d& photo_from_texture, cv::Size texture, cv::Size photo);

// `photo_from_surface` maps pixel indices (centres whole) of the surface to those of the photo.
StampCount StampFace(const Surface& surface, const FaceRaster& face,
                     const cv::Matx33d& photo_from_surface, cv::Mat& canvas, Layers& layers);

}  // namespace ribwright::phantom
