// SPDX-License-Identifier: Apache-2.0
#include "phantom/glare.h"

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>
#include <vector>

#include "phantom/field.h"

namespace ribwright::phantom {
namespace {

constexpr double kRadPerDeg = 3.14159265358979323846 / 180.0;
constexpr float kDryMost = 0.35F;     // a dry face outshines nothing, pale fat least of all
constexpr float kBrightest = 14.0F;  // mirrored over diffuse: far beyond white

}  // namespace

cv::Mat GlareField(const cv::Mat& inside, const cv::Mat& relief, double px_per_mm, const Recipe& recipe, math::Rng rng) {
  const cv::Size size = inside.size();
  // Sparks lie along the fibres, so their slopes are stretched along one direction.
  const double along = rng.Uniform(0, 3.14);
  const double spark_mm = rng.Uniform(0.12, 0.32);
  const cv::Mat quick_x = StretchedField(size, 2.2 * spark_mm * px_per_mm, spark_mm * px_per_mm, along, rng.Fork(1));
  const cv::Mat quick_y = StretchedField(size, 2.2 * spark_mm * px_per_mm, spark_mm * px_per_mm, along, rng.Fork(2));
  const double sheen_mm = rng.Uniform(1.2, 4.0);
  const cv::Mat slow_x = OctaveField(size, sheen_mm * px_per_mm, 2, 0.5, rng.Fork(3));
  const cv::Mat slow_y = OctaveField(size, sheen_mm * px_per_mm, 2, 0.5, rng.Fork(4));
  const cv::Mat wet = OctaveField(size, 22.0 * px_per_mm, 3, 0.6, rng.Fork(5));
  cv::Mat slope_x, slope_y;
  cv::Sobel(relief, slope_x, CV_32F, 1, 0, 3);
  cv::Sobel(relief, slope_y, CV_32F, 0, 1, 3);
  // The half-way slope and its drift across the face, in units of the slow slopes' spread.
  const double tilt = 1.2 * std::tan((90.0 - recipe.light_elevation_deg) * 0.5 * kRadPerDeg) / 0.35;
  const double azimuth = recipe.light_azimuth_deg * kRadPerDeg;
  const double drift = rng.Uniform(0.8, 2.2) / std::max(size.width, size.height);
  const double place_x = rng.Uniform(0.15, 0.85) * size.width;
  const double place_y = rng.Uniform(0.15, 0.85) * size.height;
  const double far = 0.35 * tilt;
  cv::Mat glare(size, CV_32F);
  const auto spark_weight = static_cast<float>(recipe.sparkle);
  const auto sheen_weight = static_cast<float>(1.0 - 0.85 * recipe.sparkle);
  const auto bump = static_cast<float>(2.0 * px_per_mm / 8.0);
  std::vector<float> sample;
  for (int y = 0; y < size.height; ++y) {
    float* out = glare.ptr<float>(y);
    const float* qx = quick_x.ptr<float>(y);
    const float* qy = quick_y.ptr<float>(y);
    const float* sx = slow_x.ptr<float>(y);
    const float* sy = slow_y.ptr<float>(y);
    const float* rx = slope_x.ptr<float>(y);
    const float* ry = slope_y.ptr<float>(y);
    const float* w = wet.ptr<float>(y);
    const std::uint8_t* in = inside.ptr<std::uint8_t>(y);
    const auto want_y = static_cast<float>(far * std::sin(azimuth) + drift * 2.0 * (y - place_y));
    for (int x = 0; x < size.width; ++x) {
      if (in[x] == 0) {
        out[x] = 0.0F;
        continue;
      }
      const auto want_x = static_cast<float>(far * std::cos(azimuth) + drift * 2.0 * (x - place_x));
      const float ex = sx[x] + bump * rx[x] - want_x;
      const float ey = sy[x] + bump * ry[x] - want_y;
      const float miss = ex * ex + ey * ey;
      const float fx = ex * 0.6F + 1.1F * qx[x];
      const float fy = ey * 0.6F + 1.1F * qy[x];
      const float spark_miss = fx * fx + fy * fy;
      // Narrow lobes: water is smooth. 1/(1+q)^4 has the long tail of a rough surface.
      const float a = 1.0F / (1.0F + 1.6F * miss);
      const float b = 1.0F / (1.0F + 5.0F * spark_miss);
      const float moist = std::exp(1.1F * w[x]);
      out[x] = moist * (sheen_weight * 0.25F * a * a * a * a + spark_weight * b * b * b * b);
      if (((x ^ y) & 7) == 0) sample.push_back(out[x]);
    }
  }
  if (sample.empty()) return glare;
  const double share = std::clamp(recipe.glare_share, 0.0, 0.5);
  const bool dry = share < 2e-4;
  const double top = dry ? 0.998 : 1.0 - share;
  auto nth = sample.begin() + static_cast<std::ptrdiff_t>(top * static_cast<double>(sample.size() - 1));
  std::nth_element(sample.begin(), nth, sample.end());
  const float unit = std::max(*nth, 1e-6F);
  for (int y = 0; y < size.height; ++y) {
    float* out = glare.ptr<float>(y);
    for (int x = 0; x < size.width; ++x) {
      const float v = out[x] / unit;
      out[x] = std::min(v, dry ? kDryMost : kBrightest);
    }
  }
  return glare;
}

}  // namespace ribwright::phantom
