// SPDX-License-Identifier: Apache-2.0
// What each number of a face means, counted on the noiseless raster. The judge measures the same
// things; this header is the definition both follow.
//
// face        every pixel of the face's own plane inside its outer edge: muscle, fat, bone. The
// side wall of
//             a thick piece is not face.
// area        face area, cm2, bone included.
// muscle      the area inside a muscle's outline: its lean, its flecks, its connective lines; seams
// between
//             muscles and cover are outside every muscle.
// marbling    fat inside muscles / area of muscles, by partial pixels (a pixel 30 % fat counts
// 0.3). fat share   (fat inside muscles + seams + cover) / face area. fat to lean the same fat /
// lean area; lean area = muscles - fat inside muscles. fleck       a connected piece (8 neighbours)
// of pixels at least half fat, inside one muscle; pieces of
//             0.1 mm2 and more are counted per cm2 of muscle. p50 and p90 are of those pieces'
//             areas (linear interpolation between order statistics).
// coarseness  of all pixels at least half fat inside the muscle, the share further than 0.5 mm from
// the nearest
//             pixel that is not (erosion by a disc of radius 0.5 mm), %. No flecks: 0.
// evenness    standard deviation (population) of marbling over 10 mm square tiles, laid along the
// muscle's
//             principal axis with one tile centred on its centroid; only tiles at least half inside
//             count, fat and area inside the muscle only. Fewer than two tiles: not known.
// cover       the outer edge is walked in steps of 1 mm. At each step the thickness is the distance
// square to
//             the edge (edge smoothed over 3 mm) from the edge inwards to the first muscle. The
//             point is *covered* when nothing but fat lies between and the thickness is 0.5 to 30
//             mm. Bone, bare muscle and fat deeper than 30 mm are not covered edge. mean: over
//             covered points. profile: 21 places along the longest run of covered edge (gaps up to
//             5 mm are bridged), 0 at its chine end, 1 at the far end.
//             at_three_quarters: of the points on the cover side whose square line inwards meets
//             the eye, the one that meets it nearest to 3/4 of the eye's length (along its long
//             axis) from the chine end. Bare muscle there is 0 mm; bone or more than 30 mm is not
//             known.
// colours     CIE Lab (D50) of the mean linear reflectance of lean pixels (muscle, under 5 % fat,
// no line), and
//             of fat pixels (over 95 % fat), before light, glare and camera.
// outlines    outer rings of each region, pieces of 2 mm2 and more, carried into the photo by its
// homography.
#pragma once

#include <functional>

#include "phantom/face_raster.h"
#include "report/photo_report.h"

namespace ribwright::phantom {

inline constexpr double kFleckLeastMm2 = 0.1;
inline constexpr double kErosionMm = 0.5;
inline constexpr double kTileMm = 10.0;
inline constexpr double kCoverLeastMm = 0.5;
inline constexpr double kCoverMostMm = 30.0;

struct MuscleCounts {
  double area_mm2 = 0.0;
  double fat_mm2 = 0.0;
  double flecks = 0.0;  // of at least kFleckLeastMm2
  double fleck_p50_mm2 = 0.0;
  double fleck_p90_mm2 = 0.0;
  double coarseness_pct = 0.0;
  double evenness_pct = -1.0;  // negative: fewer than two tiles
};
// `fat` 8U share and `inside` 8U mask (non-zero: muscle) on one grid.
MuscleCounts CountMuscle(const cv::Mat& fat, const cv::Mat& inside, double px_per_mm);

// Outer rings of a mask in mm of the face's plane, longest first. `corner`: the grid pixel of the
// mask's first, where the mask is a window of the grid that holds all of the region.
std::vector<MmRing> RingsOf(const cv::Mat& mask, const FaceRaster& face, double step_mm = 0.5,
                            cv::Point corner = {0, 0});

report::Cover MeasureCover(const FaceRaster& face);

// All keys of one face, colours aside. `px_from_mm` carries a point of the face's plane into the
// photo.
report::Face MeasureFace(const FaceRaster& face,
                         const std::function<cv::Point2d(cv::Point2d)>& px_from_mm);

}  // namespace ribwright::phantom
