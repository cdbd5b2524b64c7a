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
constexpr float kDryMost = 0.35F;    // a dry face outshines nothing, pale fat least of all
constexpr float kBrightest = 14.0F;  // mirrored over diffuse: far beyond white

// Scales `glare` so that the wanted share of sampled pixels passes 1.
void Calibrate(cv::Mat& glare, std::vector<float>& sample, double share) {
  const bool dry = share < 2e-4;
  const double top = dry ? 0.998 : 1.0 - share;
  auto nth =
      sample.begin() + static_cast<std::ptrdiff_t>(top * static_cast<double>(sample.size() - 1));
  std::nth_element(sample.begin(), nth, sample.end());
  const float scale = 1.0F / std::max(*nth, 1e-6F);
  const float most = dry ? kDryMost : kBrightest;
  for (int y = 0; y < glare.rows; ++y) {
    float* out = glare.ptr<float>(y);
    for (int x = 0; x < glare.cols; ++x) out[x] = std::min(out[x] * scale, most);
  }
}

// Folds of a clear film: long, narrow, bright.
void AddFilm(cv::Mat& glare, double px_per_mm, double strength, math::Rng rng) {
  const cv::Mat folds = StretchedField(glare.size(), 45.0 * px_per_mm, 5.0 * px_per_mm,
                                       rng.Uniform(0, 3.14), rng.Fork(1));
  const cv::Mat where = SmoothField(glare.size(), 25.0 * px_per_mm, rng.Fork(2));
  for (int y = 0; y < glare.rows; ++y) {
    float* out = glare.ptr<float>(y);
    const float* f = folds.ptr<float>(y);
    const float* w = where.ptr<float>(y);
    for (int x = 0; x < glare.cols; ++x) {
      const float fold = std::exp(-f[x] * f[x] * 60.0F) * std::max(0.0F, w[x]);
      out[x] =
          std::min(kBrightest, out[x] + static_cast<float>(strength) *
                                            (9.0F * fold + 0.25F * std::max(0.0F, w[x] + 0.3F)));
    }
  }
}

// A veil of reflected sky or window: broad, streaked along the fibres, mostly weaker than the meat.
void AddSheen(cv::Mat& glare, double px_per_mm, double strength, double along, math::Rng rng) {
  const cv::Mat streaks =
      StretchedField(glare.size(), 6.0 * px_per_mm, 0.45 * px_per_mm, along, rng.Fork(1));
  const double step = std::max(1.0, px_per_mm / 2.0);
  SlowRows where(
      OctaveField(CoarseSize(glare.size(), step), 26.0 * px_per_mm / step, 2, 0.5, rng.Fork(2)),
      step, glare.size());
  for (int y = 0; y < glare.rows; ++y) {
    float* out = glare.ptr<float>(y);
    const float* s = streaks.ptr<float>(y);
    const float* w = where.Row(y);
    for (int x = 0; x < glare.cols; ++x) {
      const float veil = std::max(0.0F, w[x] + 0.1F) * std::max(0.1F, 0.7F + 0.8F * s[x]);
      out[x] = std::min(kBrightest, out[x] + static_cast<float>(strength) * veil);
    }
  }
}

// Sparks of a moist cut: single short dashes, in drifts, each brighter or weaker.
void AddGlitter(cv::Mat& glare, const cv::Mat& inside, double px_per_mm, double per_cm2,
                double along, math::Rng rng) {
  const double step = std::max(1.0, px_per_mm);
  const cv::Mat drift =
      OctaveField(CoarseSize(glare.size(), step), 14.0 * px_per_mm / step, 2, 0.6, rng.Fork(1));
  const double area_cm2 = static_cast<double>(glare.total()) / (100.0 * px_per_mm * px_per_mm);
  const int tries = static_cast<int>(std::min(60000.0, 2.0 * per_cm2 * area_cm2));
  for (int i = 0; i < tries; ++i) {
    const cv::Point2d at(rng.Uniform(0, glare.cols - 1.0), rng.Uniform(0, glare.rows - 1.0));
    const double angle = along + rng.Normal(0, 0.45);
    const double half = 0.5 * px_per_mm * 0.28 * std::exp(rng.Normal(0, 0.6));
    const double wide = px_per_mm * 0.05 * std::exp(rng.Normal(0, 0.45));
    const double bright = 1.6 * std::exp(rng.Normal(0, 0.9)) * std::min(1.0, wide / 0.5);
    const float d = drift.at<float>(static_cast<int>(at.y / step), static_cast<int>(at.x / step));
    if (!rng.Chance(std::clamp(0.5 + 0.7 * d, 0.03, 1.0))) continue;
    if (inside.at<std::uint8_t>(static_cast<int>(at.y), static_cast<int>(at.x)) == 0) continue;
    const cv::Point2d way(std::cos(angle), std::sin(angle));
    const double radius = std::max(0.6, wide);
    const double reach = half + radius + 1.0;
    const cv::Rect box =
        cv::Rect(cv::Point(static_cast<int>(at.x - reach), static_cast<int>(at.y - reach)),
                 cv::Size(static_cast<int>(2 * reach) + 2, static_cast<int>(2 * reach) + 2)) &
        cv::Rect({}, glare.size());
    for (int y = box.y; y < box.y + box.height; ++y) {
      float* out = glare.ptr<float>(y);
      for (int x = box.x; x < box.x + box.width; ++x) {
        const cv::Point2d q(x - at.x, y - at.y);
        const double t = std::clamp(q.dot(way), -half, half);
        const cv::Point2d away = q - t * way;
        const double cover = std::clamp(radius + 0.5 - std::sqrt(away.dot(away)), 0.0, 1.0);
        const auto light = static_cast<float>(bright * cover);
        out[x] = std::min(kBrightest, std::max(out[x], light));
      }
    }
  }
}

// Film that lies loose: a share of the face under bright, folded reflections.
void HideUnderFilm(cv::Mat& glare, const cv::Mat& inside, double px_per_mm, double share,
                   math::Rng rng) {
  const double step = std::max(1.0, px_per_mm / 2.0);
  SlowRows where(
      OctaveField(CoarseSize(glare.size(), step), 40.0 * px_per_mm / step, 3, 0.45, rng.Fork(1)),
      step, glare.size());
  std::vector<float> sample;
  for (int y = 0; y < glare.rows; y += 7) {
    const float* w = where.Row(y);
    const std::uint8_t* in = inside.ptr<std::uint8_t>(y);
    for (int x = y % 5; x < glare.cols; x += 5) {
      if (in[x] > 0) sample.push_back(w[x]);
    }
  }
  if (sample.empty()) return;
  const auto nth = sample.begin() + static_cast<std::ptrdiff_t>(
                                        (1.0 - share) * static_cast<double>(sample.size() - 1));
  std::nth_element(sample.begin(), nth, sample.end());
  const float from = *nth;
  const cv::Mat folds = StretchedField(glare.size(), 25.0 * px_per_mm, 4.0 * px_per_mm,
                                       rng.Uniform(0, 3.14), rng.Fork(2));
  for (int y = 0; y < glare.rows; ++y) {
    float* out = glare.ptr<float>(y);
    const float* w = where.Row(y);
    const float* f = folds.ptr<float>(y);
    for (int x = 0; x < glare.cols; ++x) {
      const float under = std::clamp(6.0F * (w[x] - from), 0.0F, 1.0F);
      out[x] = std::min(kBrightest, out[x] + under * std::max(1.5F, 7.0F + 4.0F * f[x]));
    }
  }
}

}  // namespace

Relief MakeRelief(cv::Size fine, double px_per_mm, const Recipe& r, math::Rng rng) {
  Relief relief;
  relief.step = std::max(1.0, px_per_mm / 5.0);
  const double s = px_per_mm / relief.step;  // coarse px/mm
  const cv::Size size = CoarseSize(fine, relief.step);
  cv::Mat height = OctaveField(size, 9.0 * s, 3, 0.45, rng.Fork(1));
  if (r.wrinkles > 0) {  // knife lines and folds: soft ridges across the face
    cv::Mat folds = StretchedField(size, 40.0 * s, 3.5 * s, rng.Uniform(0, 3.14), rng.Fork(2));
    cv::multiply(folds, folds, folds, -9.0);
    cv::exp(folds, folds);
    cv::scaleAdd(folds, -0.5 * r.wrinkles, height, height);
  }
  cv::Sobel(height, relief.slope_x, CV_32F, 1, 0, 3, s / 8.0);
  cv::Sobel(height, relief.slope_y, CV_32F, 0, 1, 3, s / 8.0);
  return relief;
}

cv::Mat GlareField(const cv::Mat& inside, const Relief& relief, double px_per_mm,
                   const Recipe& recipe, math::Rng rng) {
  const cv::Size size = inside.size();
  // Sparks lie along the fibres, so their slopes are stretched along one direction.
  const double along = rng.Uniform(0, 3.14);
  const double spark_mm = rng.Uniform(0.12, 0.32);
  const cv::Mat quick_x =
      StretchedField(size, 2.2 * spark_mm * px_per_mm, spark_mm * px_per_mm, along, rng.Fork(1));
  const cv::Mat quick_y =
      StretchedField(size, 2.2 * spark_mm * px_per_mm, spark_mm * px_per_mm, along, rng.Fork(2));
  const double sheen_mm = recipe.wide ? 0.6 * std::pow(14.0, rng.Uniform()) : rng.Uniform(1.2, 4.0);
  const cv::Size coarse = relief.slope_x.size();
  const double s = px_per_mm / relief.step;
  const auto with_relief = [&](const cv::Mat& slope, std::uint64_t tag) {
    cv::Mat sum = OctaveField(coarse, sheen_mm * s, 2, 0.5, rng.Fork(tag));
    cv::scaleAdd(slope, 1.2, sum, sum);
    return sum;
  };
  SlowRows slow_x(with_relief(relief.slope_x, 3), relief.step, size);
  SlowRows slow_y(with_relief(relief.slope_y, 4), relief.step, size);
  SlowRows wet(OctaveField(coarse, 22.0 * s, 3, 0.6, rng.Fork(5)), relief.step, size);
  // The half-way slope and its drift across the face, in units of the slow slopes' spread.
  const double tilt = 1.2 * std::tan((90.0 - recipe.light_elevation_deg) * 0.5 * kRadPerDeg);
  const double azimuth = recipe.light_azimuth_deg * kRadPerDeg;
  const double drift = 2.0 * rng.Uniform(0.8, 2.2) / std::max(size.width, size.height);
  const double place_x = rng.Uniform(0.15, 0.85) * size.width;
  const double place_y = rng.Uniform(0.15, 0.85) * size.height;
  cv::Mat glare(size, CV_32F);
  const auto spark_weight = static_cast<float>(recipe.sparkle);
  const auto sheen_weight = static_cast<float>(0.25 * (1.0 - 0.85 * recipe.sparkle));
  std::vector<float> sample;
  for (int y = 0; y < size.height; ++y) {
    float* out = glare.ptr<float>(y);
    const float* qx = quick_x.ptr<float>(y);
    const float* qy = quick_y.ptr<float>(y);
    const float* sx = slow_x.Row(y);
    const float* sy = slow_y.Row(y);
    const float* w = wet.Row(y);
    const std::uint8_t* in = inside.ptr<std::uint8_t>(y);
    const auto want_y = static_cast<float>(tilt * std::sin(azimuth) + drift * (y - place_y));
    for (int x = 0; x < size.width; ++x) {
      if (in[x] == 0) {
        out[x] = 0.0F;
        continue;
      }
      const float ex = sx[x] - static_cast<float>(tilt * std::cos(azimuth) + drift * (x - place_x));
      const float ey = sy[x] - want_y;
      const float fx = ex * 0.6F + 1.1F * qx[x];
      const float fy = ey * 0.6F + 1.1F * qy[x];
      // Narrow lobes: water is smooth. 1/(1+q)^4 has the long tail of a rough surface.
      float a = 1.0F / (1.0F + 1.6F * (ex * ex + ey * ey));
      float b = 1.0F / (1.0F + 5.0F * (fx * fx + fy * fy));
      a *= a;
      b *= b;
      out[x] = std::exp(1.1F * w[x]) * (sheen_weight * a * a + spark_weight * b * b);
      if (((x ^ y) & 7) == 0) sample.push_back(out[x]);
    }
  }
  if (!sample.empty()) Calibrate(glare, sample, std::clamp(recipe.glare_share, 0.0, 0.5));
  if (recipe.sheen > 0) AddSheen(glare, px_per_mm, recipe.sheen, along, rng.Fork(7));
  if (recipe.glitter > 0) AddGlitter(glare, inside, px_per_mm, recipe.glitter, along, rng.Fork(8));
  if (recipe.film > 0) AddFilm(glare, px_per_mm, recipe.film, rng.Fork(6));
  if (recipe.film_cover > 0)
    HideUnderFilm(glare, inside, px_per_mm, recipe.film_cover, rng.Fork(9));
  return glare;
}

}  // namespace ribwright::phantom
