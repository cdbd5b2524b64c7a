// SPDX-License-Identifier: Apache-2.0
#include "face/face_colour.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

#include "photo/srgb.h"

namespace ribwright::face {
namespace {

constexpr double kZ90 = 1.6448536269514722;

}  // namespace

report::Lab ReadFaceColour(const cv::Mat& rgb, const cv::Mat& where,
                           const photo::ColourReference& colour, double light,
                           std::optional<double> bloom_min, bool is_lean) {
  std::array<std::vector<std::uint8_t>, 3> values;
  const int step = std::max(1, static_cast<int>(std::sqrt(double(rgb.total()) / 4e5)));
  for (int y = 0; y < rgb.rows; y += step) {
    for (int x = 0; x < rgb.cols; x += step) {
      if (!where.at<std::uint8_t>(y, x)) continue;
      const auto& p = rgb.at<cv::Vec3b>(y, x);
      for (int c = 0; c < 3; ++c) values[static_cast<std::size_t>(c)].push_back(p[c]);
    }
  }
  report::Lab lab;
  if (values[0].size() < 50) {
    const char* reason = is_lean ? "too little lean free of glare" : "too little fat in view";
    lab.L = Measured::Unknown("L*", reason);
    lab.a = Measured::Unknown("a*", reason);
    lab.b = Measured::Unknown("b*", reason);
    return lab;
  }
  cv::Vec3d linear;
  for (std::size_t c = 0; c < 3; ++c) {
    auto& v = values[c];
    const auto mid = v.begin() + static_cast<std::ptrdiff_t>(v.size() / 2);
    std::nth_element(v.begin(), mid, v.end());
    linear[static_cast<int>(c)] = photo::LinearFromSrgb(*mid / 255.0) / std::max(0.05, light);
  }
  const photo::LabColour value = photo::LabFromXyz(colour.xyz_from_linear * linear);
  // Doubt, 1 SD an axis: calibrated from the card's residual, otherwise assumed (exposure moves L*
  // most).
  double sd_l = 8.0;
  double sd_ab = 5.0;
  std::string basis = "uncalibrated camera colour, assumed spread";
  if (colour.status.calibrated) {
    const double de = std::max(1.0, colour.de00_sd);
    sd_l = std::hypot(de, 1.5);
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
