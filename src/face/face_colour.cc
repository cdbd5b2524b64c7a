// SPDX-License-Identifier: Apache-2.0
#include "face/face_colour.h"

#include <algorithm>
#include <cmath>
#include <tuple>
#include <vector>

#include "photo/colour_read.h"
#include "photo/srgb.h"

namespace ribwright::face {
namespace {

constexpr double kZ90 = 1.6448536269514722;

// Sheen lays the lamp's own colour over the lean: green nears red. The reddest twentieth is noise
// and fold, the paler six tenths hold the sheen; shares set on 14 work phantoms (mean error 3.3 to
// 2.1, a* 2.7 to 0.4 too low; docs/science/face.md).
constexpr double kSheenShare = 0.60;
constexpr double kFoldShare = 0.05;
// Fat has no such hue to go by: its brightest and darkest pixels are left out; assumed.
constexpr double kFatSheenShare = 0.15;
constexpr double kFatFoldShare = 0.05;
constexpr double kSamples = 2e4;
// The light's plane reaches beyond the card: it may not leave what falling off 2:1 allows
// (assumed).
constexpr double kLeastLight = 0.4;
constexpr double kMostLight = 2.5;

}  // namespace

report::Lab ReadFaceColour(const Canvas& canvas, const cv::Mat& where,
                           const photo::ColourReference& colour, std::optional<double> bloom_min,
                           bool is_lean) {
  const photo::LightField field(colour);
  std::vector<cv::Vec3d> seen;
  double light_sd = 0.0;
  const int step =
      std::max(1, static_cast<int>(std::sqrt(std::max(1, cv::countNonZero(where)) / kSamples)));
  for (int y = 0; y < where.rows; y += step) {
    for (int x = 0; x < where.cols; x += step) {
      if (!where.at<std::uint8_t>(y, x)) continue;
      const auto& p = canvas.rgb.at<cv::Vec3b>(y, x);
      const cv::Point2d at = Through(canvas.photo_from_canvas, x + 0.5, y + 0.5);
      const photo::LightAt light = field.At(at.x, at.y);
      light_sd += light.relative_sd;
      const cv::Vec3d linear(photo::LinearFromSrgb(p[0] / 255.0),
                             photo::LinearFromSrgb(p[1] / 255.0),
                             photo::LinearFromSrgb(p[2] / 255.0));
      seen.push_back(colour.XyzAt(linear, std::clamp(light.relative, kLeastLight, kMostLight)));
    }
  }
  report::Lab lab;
  if (seen.size() < 50) {
    const char* reason = is_lean ? "too little lean free of glare" : "too little fat in view";
    lab.L = Measured::Unknown("L*", reason);
    lab.a = Measured::Unknown("a*", reason);
    lab.b = Measured::Unknown("b*", reason);
    return lab;
  }
  light_sd /= static_cast<double>(seen.size());
  std::sort(seen.begin(), seen.end(), [is_lean](const auto& p, const auto& q) {
    const double of_p = is_lean ? p[1] / std::max(1e-9, p[0]) : p[1];
    const double of_q = is_lean ? q[1] / std::max(1e-9, q[0]) : q[1];
    return std::tie(of_p, p[0], p[1], p[2]) < std::tie(of_q, q[0], q[1], q[2]);
  });
  const auto count = static_cast<double>(seen.size());
  const auto first = static_cast<std::size_t>((is_lean ? kFoldShare : kFatFoldShare) * count);
  const auto last =
      seen.size() - static_cast<std::size_t>((is_lean ? kSheenShare : kFatSheenShare) * count);
  cv::Vec3d sum(0, 0, 0);
  for (std::size_t i = first; i < last; ++i) sum += seen[i];
  const photo::LabColour value = photo::LabFromXyz(sum / static_cast<double>(last - first));
  // Doubt, 1 SD an axis: calibrated from the card's residual, otherwise assumed (exposure moves L*
  // most).
  double sd_l = 8.0;
  double sd_ab = 5.0;
  std::string basis = "uncalibrated camera colour, assumed spread";
  if (colour.status.calibrated) {
    const double de = std::max(1.0, colour.de00_sd);
    // L* + 16 goes with the cube root of light.
    sd_l = std::hypot(de, (value.L + 16.0) / 3.0 * light_sd);
    sd_ab = std::hypot(de, 1.0);
    basis = "card with entered patch values: residual and light";
  } else if (colour.status.source != "none" && !colour.status.source.empty()) {
    sd_l = 4.0;
    sd_ab = 3.5;
    basis = "print, neutral only: assumed spread";
  }
  if (is_lean && !bloom_min) {
    // a* and b* keep rising to 78 min after cutting, L* to 30 (Wulf & Wise 1999); spread assumed.
    sd_l = std::hypot(sd_l, 1.0);
    sd_ab = std::hypot(sd_ab, 2.0);
    basis += "; minutes since cutting unknown";
  }
  const auto with = [&](double v, double sd, const char* unit, double low, double high) {
    return Measured::Of(v, std::min(v, std::max(low, v - kZ90 * sd)),
                        std::max(v, std::min(high, v + kZ90 * sd)), unit, basis);
  };
  lab.L = with(value.L, sd_l, "L*", 0.0, 100.0);
  lab.a = with(value.a, sd_ab, "a*", -128.0, 128.0);
  lab.b = with(value.b, sd_ab, "b*", -128.0, 128.0);
  return lab;
}

}  // namespace ribwright::face
