// SPDX-License-Identifier: Apache-2.0
// From a photo and its card to a ColourReference.
//
// Light: bare paper is read at many places of the card (median of linear light). A robust plane
// through the logarithm of the readings says how light falls off; soiled or shaded places drop out.
// `light` holds the places that stay, relative to the plane's value in the card's middle.
// RelativeLight is that plane at any place of the photo; its sd joins the scatter of the readings
// and, away from them, 15 % a card length for light that is no such plane (assumed; drawn photos
// whose fall-off bends err by about 12 % at 130 mm). Where the paper is overexposed the fall-off is
// fitted with the colours, if there are values, and each patch tells its light.
// Patches: trimmed means, each channel divided by the paper beside it (left and right), so that
// neither fall-off nor a second lamp's colour reaches the fit. Without values: paper and greys are
// taken as neutral and paper as L* 95 (assumed): one gain a channel. With values (n patches with X
// Y Z): the 3 x 3 matrix, and one exponent where it clearly helps, that minimise the sum of
//   dL^2 + (da^2 + db^2) / (1 + 0.045 C)^2
// plus a ridge that pulls the matrix towards the neutral one (weight: 0.1 of the matrix's size
// counts like one residual of 0.5); Levenberg-Marquardt. residual_de00 is the mean CIEDE2000 of
// each patch predicted from the others (leave-one-out). Over 6 it is refused: values and photo do
// not belong together. de00_sd: 1.5 times that mean (a mean of CIEDE2000 over three directions
// against its root mean square, rounded up, assumed) joined with 1.0 for a surface unlike the
// patches (assumed); 5 with neutral balance only and 8 without a card (both assumed: prints and
// phones differ by that much). Cost: about 15 ms with values, 2 ms without. Thread-safe,
// deterministic.
#pragma once

#include <opencv2/core/mat.hpp>
#include <optional>
#include <vector>

#include "photo/card_find.h"
#include "photo/card_values.h"
#include "photo/colour_reference.h"
#include "report/photo_report.h"

namespace ribwright::photo {

inline constexpr double kNoReferenceDe00Sd = 8.0;  // assumed
inline constexpr double kNeutralOnlyDe00Sd = 5.0;  // assumed
inline constexpr double kMostResidualDe00 = 6.0;   // assumed

// rgb: CV_8UC3, upright, sRGB. card may be null. Cautions go to `warnings` (may be null):
// kColourNeutralOnly, kCardColourUnreadable.
ColourReference ReadColour(const cv::Mat& rgb, const CardFound* card,
                           const std::optional<CardValues>& values,
                           std::vector<report::Caution>* warnings = nullptr);

struct LightAt {
  double relative = 1.0;
  double relative_sd = 0.0;  // of ln relative
};

// A plane through ln relative over the photo, fitted once.
class LightField {
 public:
  explicit LightField(const ColourReference& reference);
  // Without readings: 1 with sd 0.25 (assumed).
  LightAt At(double x_px, double y_px) const;

 private:
  bool known_ = false;
  double centre_x_ = 0.0;
  double centre_y_ = 0.0;
  double length_ = 1.0;  // px that count as one
  cv::Vec3d coefficients_;
  cv::Matx33d covariance_;
};

// One place; for many build a LightField.
LightAt RelativeLight(const ColourReference& reference, double x_px, double y_px);

}  // namespace ribwright::photo
