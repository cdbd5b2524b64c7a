// SPDX-License-Identifier: Apache-2.0
#include "photo/srgb.h"

#include <cmath>
#include <cstdint>
#include <opencv2/core.hpp>

namespace ribwright::photo {
namespace {

// Chromaticities of IEC 61966-2-1 (D65 white, then red, green, blue).
constexpr double kWhiteXy[2] = {0.3127, 0.3290};
constexpr double kPrimariesXy[3][2] = {{0.64, 0.33}, {0.30, 0.60}, {0.15, 0.06}};

constexpr double kLabKnee = 6.0 / 29.0;  // CIE 15

cv::Vec3d XyzFromXy(double x, double y) { return {x / y, 1.0, (1.0 - x - y) / y}; }

// Cone responses of the Bradford transform (ICC.1, annex E).
cv::Matx33d Bradford() {
  return {0.8951, 0.2664, -0.1614, -0.7502, 1.7135, 0.0367, 0.0389, -0.0685, 1.0296};
}

cv::Matx33d AdaptedTo(const cv::Vec3d& to, const cv::Vec3d& from) {
  const cv::Matx33d bradford = Bradford();
  const cv::Vec3d cone_to = bradford * to;
  const cv::Vec3d cone_from = bradford * from;
  const auto gains = cv::Matx33d::diag(
      {cone_to[0] / cone_from[0], cone_to[1] / cone_from[1], cone_to[2] / cone_from[2]});
  return bradford.inv() * gains * bradford;
}

cv::Matx33d MatrixFromPrimaries() {
  cv::Matx33d columns;
  for (int i = 0; i < 3; ++i) {
    const cv::Vec3d xyz = XyzFromXy(kPrimariesXy[i][0], kPrimariesXy[i][1]);
    for (int row = 0; row < 3; ++row) columns(row, i) = xyz[row];
  }
  const cv::Vec3d white = XyzFromXy(kWhiteXy[0], kWhiteXy[1]);
  const cv::Vec3d weights = columns.inv() * white;
  return AdaptedTo(WhiteD50(), white) * columns * cv::Matx33d::diag(weights);
}

double LabCurve(double t) {
  return t > kLabKnee * kLabKnee * kLabKnee ? std::cbrt(t)
                                            : t / (3.0 * kLabKnee * kLabKnee) + 4.0 / 29.0;
}

double LabCurveInverse(double f) {
  return f > kLabKnee ? f * f * f : 3.0 * kLabKnee * kLabKnee * (f - 4.0 / 29.0);
}

}  // namespace

double LinearFromSrgb(double code) {
  const double c = std::abs(code);
  const double linear = c <= 0.04045 ? c / 12.92 : std::pow((c + 0.055) / 1.055, 2.4);
  return std::copysign(linear, code);
}

double SrgbFromLinear(double linear) {
  const double l = std::abs(linear);
  const double code = l <= 0.04045 / 12.92 ? l * 12.92 : 1.055 * std::pow(l, 1.0 / 2.4) - 0.055;
  return std::copysign(code, linear);
}

const std::array<float, 256>& LinearFromCode() {
  static const std::array<float, 256> table = [] {
    std::array<float, 256> values{};
    for (std::size_t i = 0; i < values.size(); ++i) {
      values[i] = static_cast<float>(LinearFromSrgb(static_cast<double>(i) / 255.0));
    }
    return values;
  }();
  return table;
}

cv::Vec3d WhiteD50() { return {0.9642, 1.0, 0.8249}; }

const cv::Matx33d& XyzFromLinearSrgb() {
  static const cv::Matx33d matrix = MatrixFromPrimaries();
  return matrix;
}

const cv::Matx33d& LinearSrgbFromXyz() {
  static const cv::Matx33d matrix = XyzFromLinearSrgb().inv();
  return matrix;
}

LabColour LabFromXyz(const cv::Vec3d& xyz) {
  const cv::Vec3d white = WhiteD50();
  const double fx = LabCurve(xyz[0] / white[0]);
  const double fy = LabCurve(xyz[1] / white[1]);
  const double fz = LabCurve(xyz[2] / white[2]);
  return {116.0 * fy - 16.0, 500.0 * (fx - fy), 200.0 * (fy - fz)};
}

cv::Vec3d XyzFromLab(const LabColour& lab) {
  const cv::Vec3d white = WhiteD50();
  const double fy = (lab.L + 16.0) / 116.0;
  return {white[0] * LabCurveInverse(fy + lab.a / 500.0), white[1] * LabCurveInverse(fy),
          white[2] * LabCurveInverse(fy - lab.b / 200.0)};
}

LabColour LabFromSrgb(const cv::Vec3b& rgb) {
  const auto linear = [](std::uint8_t code) { return LinearFromSrgb(code / 255.0); };
  return LabFromXyz(XyzFromLinearSrgb() *
                    cv::Vec3d(linear(rgb[0]), linear(rgb[1]), linear(rgb[2])));
}

}  // namespace ribwright::photo
