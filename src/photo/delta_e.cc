// SPDX-License-Identifier: Apache-2.0
#include "photo/delta_e.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace ribwright::photo {
namespace {

double Degrees(double radians) { return radians * 180.0 / std::numbers::pi; }
double Radians(double degrees) { return degrees * std::numbers::pi / 180.0; }
double CosDegrees(double degrees) { return std::cos(Radians(degrees)); }

// sqrt(c^7 / (c^7 + 25^7)): how far a chroma is from grey.
double Saturation(double chroma) {
  const double seventh = std::pow(chroma, 7.0);
  return std::sqrt(seventh / (seventh + 6103515625.0));  // 25^7
}

struct LightChromaHue {
  double L = 0.0;
  double C = 0.0;
  double h = 0.0;  // degrees, 0..360; 0 for grey
};

LightChromaHue Adjusted(const LabColour& lab, double a_gain) {
  const double a = a_gain * lab.a;
  LightChromaHue c{lab.L, std::hypot(a, lab.b), 0.0};
  if (c.C > 0.0) c.h = Degrees(std::atan2(lab.b, a));
  if (c.h < 0.0) c.h += 360.0;
  return c;
}

double HueStep(const LightChromaHue& from, const LightChromaHue& to) {
  if (from.C * to.C == 0.0) return 0.0;
  const double step = to.h - from.h;
  if (step > 180.0) return step - 360.0;
  if (step < -180.0) return step + 360.0;
  return step;
}

double MeanHue(const LightChromaHue& one, const LightChromaHue& two) {
  const double sum = one.h + two.h;
  if (one.C * two.C == 0.0) return sum;
  if (std::abs(one.h - two.h) <= 180.0) return sum / 2.0;
  return sum < 360.0 ? (sum + 360.0) / 2.0 : (sum - 360.0) / 2.0;
}

}  // namespace

double DeltaE2000(const LabColour& first, const LabColour& second) {
  const double mean_chroma = (std::hypot(first.a, first.b) + std::hypot(second.a, second.b)) / 2.0;
  const double a_gain = 1.0 + 0.5 * (1.0 - Saturation(mean_chroma));
  const LightChromaHue one = Adjusted(first, a_gain);
  const LightChromaHue two = Adjusted(second, a_gain);

  const double L = (one.L + two.L) / 2.0;
  const double C = (one.C + two.C) / 2.0;
  const double h = MeanHue(one, two);
  const double T = 1.0 - 0.17 * CosDegrees(h - 30.0) + 0.24 * CosDegrees(2.0 * h) +
                   0.32 * CosDegrees(3.0 * h + 6.0) - 0.20 * CosDegrees(4.0 * h - 63.0);
  const double from_middle = (L - 50.0) * (L - 50.0);
  const double weight_L = 1.0 + 0.015 * from_middle / std::sqrt(20.0 + from_middle);
  const double weight_C = 1.0 + 0.045 * C;
  const double weight_H = 1.0 + 0.015 * C * T;
  const double blue = (h - 275.0) / 25.0;
  const double turn = -2.0 * Saturation(C) * std::sin(Radians(60.0 * std::exp(-blue * blue)));

  const double dL = (two.L - one.L) / weight_L;
  const double dC = (two.C - one.C) / weight_C;
  const double dH =
      2.0 * std::sqrt(one.C * two.C) * std::sin(Radians(HueStep(one, two) / 2.0)) / weight_H;
  // The turn can push an exact zero just under it.
  return std::sqrt(std::max(0.0, dL * dL + dC * dC + dH * dH + turn * dC * dH));
}

}  // namespace ribwright::photo
