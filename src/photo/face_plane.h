// SPDX-License-Identifier: Apache-2.0
// The plane of the cut face, which lies `thickness` above the card on the same board.
//
// The card's plane is seen as H = K [r1 r2 t]: K the camera (focal length in pixels, principal
// point in the photo's middle, square pixels), r1 and r2 the card's directions, t its origin (Zhang
// 2000). The normal r3 = r1 x r2 points into the board, so the plane T higher is K [r1 r2 t - T
// r3]. Seen from above at the distance Z a length grows by Z / (Z - T): 5 % for 25 mm at half a
// metre.
//
// Focal length: EXIF's 35 mm equivalent f35 gives f_px = f35 * diagonal_px / 43.27 mm, the diagonal
// of 36 mm x 24 mm (CIPA DCG-001, memory; some makers scale by the long side, and the tag is
// rounded: sd 2 %, assumed). Without it: 27 mm with sd 35 % in the logarithm (phones' main cameras,
// common practice). Either prior meets what the card's own perspective says, since r1 and r2 must
// be square to each other and of one length; nearly overhead that says little, and the doubt stays
// the prior's. Where EXIF contradicts the perspective (a cropped or zoomed photo) the EXIF value is
// set aside and a caution given; so is a value outside 10 to 200 mm. Thickness: the user's (sd as
// given, at least 0.1 mm) or, unknown, 25 mm with sd 12 mm (assumed).
//
// relative_sd: standard deviation of lengths of 100 mm about the photo's middle, mean over four
// directions, propagated to first order from the markers' fit, focal length, thickness and print
// scale. Lens distortion, a bent card, and a printer that scales its two directions unlike are not
// in it. Origin and directions of the plane's mm are the card's, in real mm. Cost about 1 ms.
// Thread-safe.
#pragma once

#include <opencv2/core/types.hpp>
#include <optional>
#include <vector>

#include "photo/card_find.h"
#include "photo/plane.h"
#include "report/photo_report.h"

namespace ribwright::photo {

inline constexpr double kFullFrameDiagonalMm = 43.266615305567875;  // sqrt(36^2 + 24^2)
inline constexpr double kThicknessPriorMm = 25.0;                   // assumed
inline constexpr double kThicknessPriorSdMm = 12.0;                 // assumed
inline constexpr double kUserScaleRelativeSd = 0.02;                // assumed

double FocalPxFrom35mm(double focal_35mm, cv::Size size);

struct Focal {
  double px = 0.0;
  double log_sd = 0.0;        // of ln px
  bool contradicted = false;  // EXIF was set aside
};
Focal EstimateFocal(const CardFound& card, std::optional<double> focal_35mm, cv::Size size);

// Cautions are added to `warnings` (may be null): kThicknessUnknown, kCameraDistanceUnknown.
// thickness_mm must be positive and thickness_sd_mm not negative. A thickness of over half the
// camera's distance cannot be true; it is set aside as unknown.
Plane FacePlane(const CardFound& card, std::optional<double> thickness_mm, double thickness_sd_mm,
                std::optional<double> focal_35mm, cv::Size size,
                std::vector<report::Caution>* warnings = nullptr);

// The plane of a scale the user states, seen square-on; px_per_mm must be positive.
Plane PlaneFromUser(double px_per_mm);

}  // namespace ribwright::photo
