// SPDX-License-Identifier: Apache-2.0
#include "face/fat_map.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <opencv2/imgproc.hpp>
#include <vector>

#include "photo/srgb.h"

namespace ribwright::face {
namespace {

constexpr double kUsualFatU = -0.22;  // log of green over red on beef fat, linear light; assumed

cv::Mat LogTable() {
  cv::Mat table(1, 256, CV_32F);
  for (int v = 0; v < 256; ++v) {
    table.at<float>(v) =
        static_cast<float>(std::log(std::max(0.002, photo::LinearFromSrgb(v / 255.0))));
  }
  return table;
}

// Gaussian mean of `value` over pixels where weight > 0, on a copy made small where sigma allows
// it.
cv::Mat MaskedMean(const cv::Mat& value, const cv::Mat& weight, double sigma) {
  const int step = std::clamp(static_cast<int>(sigma / 3.0), 1, 16);
  cv::Mat product = value.mul(weight);
  cv::Mat small_product = product;
  cv::Mat small_weight = weight;
  if (step > 1) {
    const cv::Size size(std::max(1, value.cols / step), std::max(1, value.rows / step));
    cv::resize(product, small_product, size, 0, 0, cv::INTER_AREA);
    cv::resize(weight, small_weight, size, 0, 0, cv::INTER_AREA);
  }
  cv::Mat top;
  cv::Mat bottom;
  const double s = sigma / step;
  cv::GaussianBlur(small_product, top, cv::Size(), s, s, cv::BORDER_REPLICATE);
  cv::GaussianBlur(small_weight, bottom, cv::Size(), s, s, cv::BORDER_REPLICATE);
  // Where no weight is near, borrow from further away.
  cv::Mat far_top;
  cv::Mat far_bottom;
  const double wide = s * 4.0;
  cv::Mat tiny_p;
  cv::Mat tiny_w;
  const cv::Size tiny_size(std::max(1, top.cols / 4), std::max(1, top.rows / 4));
  cv::resize(small_product, tiny_p, tiny_size, 0, 0, cv::INTER_AREA);
  cv::resize(small_weight, tiny_w, tiny_size, 0, 0, cv::INTER_AREA);
  cv::GaussianBlur(tiny_p, tiny_p, cv::Size(), wide / 4.0, wide / 4.0, cv::BORDER_REPLICATE);
  cv::GaussianBlur(tiny_w, tiny_w, cv::Size(), wide / 4.0, wide / 4.0, cv::BORDER_REPLICATE);
  cv::resize(tiny_p, far_top, top.size(), 0, 0, cv::INTER_LINEAR);
  cv::resize(tiny_w, far_bottom, top.size(), 0, 0, cv::INTER_LINEAR);
  const double all = cv::sum(small_weight)[0];
  const double mean_all = all > 0.0 ? cv::sum(small_product)[0] / all : 0.0;
  top = top + 0.02 * far_top + 1e-4 * mean_all;
  bottom = bottom + 0.02 * far_bottom + 1e-4;
  cv::Mat mean = top / bottom;
  if (step > 1) cv::resize(mean, mean, value.size(), 0, 0, cv::INTER_LINEAR);
  return mean;
}

cv::Mat Smoothed(const cv::Mat& value, const cv::Mat& weight, double sigma) {
  if (sigma <= 0.0) return value;
  cv::Mat product;
  cv::Mat under;
  cv::GaussianBlur(value.mul(weight), product, cv::Size(), sigma);
  cv::GaussianBlur(weight, under, cv::Size(), sigma);
  cv::Mat mean = product / cv::max(under, 1e-3);
  mean.setTo(0, weight == 0);
  return mean;
}

double Quantile(std::vector<float>& values, double q) {
  if (values.empty()) return 0.0;
  const auto k = static_cast<std::ptrdiff_t>(q * static_cast<double>(values.size() - 1));
  std::nth_element(values.begin(), values.begin() + k, values.end());
  return values[static_cast<std::size_t>(k)];
}

std::vector<float> Sample(const cv::Mat& value, const cv::Mat& mask) {
  std::vector<float> out;
  const int step = std::max(1, static_cast<int>(std::sqrt(double(value.total()) / 2e5)));
  for (int y = 0; y < value.rows; y += step) {
    for (int x = 0; x < value.cols; x += step) {
      if (mask.at<std::uint8_t>(y, x)) out.push_back(value.at<float>(y, x));
    }
  }
  return out;
}

// Keeps pieces of `low` that hold a pixel of `high` and are at least `least` pixels large.
cv::Mat Hysteresis(const cv::Mat& low, const cv::Mat& high, double least) {
  cv::Mat labels;
  cv::Mat stats;
  cv::Mat centres;
  const int n = cv::connectedComponentsWithStats(low, labels, stats, centres, 8, CV_32S);
  std::vector<std::uint8_t> keep(static_cast<std::size_t>(n), 0);
  for (int y = 0; y < low.rows; ++y) {
    const auto* l = labels.ptr<int>(y);
    const auto* h = high.ptr<std::uint8_t>(y);
    for (int x = 0; x < low.cols; ++x) {
      if (h[x] && l[x] > 0) keep[static_cast<std::size_t>(l[x])] = 255;
    }
  }
  for (int i = 1; i < n; ++i) {
    if (stats.at<int>(i, cv::CC_STAT_AREA) < least) keep[static_cast<std::size_t>(i)] = 0;
  }
  cv::Mat out(low.size(), CV_8U);
  for (int y = 0; y < low.rows; ++y) {
    const auto* l = labels.ptr<int>(y);
    auto* o = out.ptr<std::uint8_t>(y);
    for (int x = 0; x < low.cols; ++x) o[x] = l[x] > 0 ? keep[static_cast<std::size_t>(l[x])] : 0;
  }
  return out;
}

}  // namespace

FatMap MapFat(const cv::Mat& rgb, const cv::Mat& mask, const FatOptions& options) {
  static const cv::Mat log_table = LogTable();
  FatMap map;
  std::array<cv::Mat, 3> channel;
  cv::split(rgb, channel.data());
  cv::Mat log_red;
  cv::Mat log_green;
  cv::LUT(channel[0], log_table, log_red);
  cv::LUT(channel[1], log_table, log_green);
  cv::Mat u = log_green - log_red;

  // Sparks and sheen: blue above its surroundings, sharply; or clipped white over a piece.
  cv::Mat blue_median;
  cv::medianBlur(channel[2], blue_median, 5);
  cv::Mat spark = (channel[2] - blue_median) > options.spark_step;
  cv::Mat clipped = (channel[0] > 247) & (channel[1] > 245) & (channel[2] > 243);
  cv::Mat dark = (channel[0] < 14) & (channel[1] < 14);
  map.unreadable = (clipped | dark) & mask;
  cv::Mat spark_wide;
  cv::dilate(spark, spark_wide, cv::Mat());
  const cv::Mat u_seen = u.clone();  // sparks left in: a fleck's own rim is as sharp as a spark
  {
    // A spark takes the median of what lies round it; a real fleck under it is wider than the
    // spark.
    cv::Mat calm;
    cv::medianBlur(u, calm, 5);
    cv::Mat lower = cv::min(u, calm);
    lower.copyTo(u, spark_wide);
    map.unreadable |= spark & mask & ((channel[0] > 225) & (channel[2] > 205));
  }

  cv::Mat weight;
  mask.convertTo(weight, CV_32F, 1.0 / 255.0);
  const double width = std::sqrt(std::max(1.0, cv::sum(weight)[0]));
  const double sigma = std::max(4.0, options.surround * width);
  u = Smoothed(u, weight, options.smooth_px);
  const cv::Mat seen = Smoothed(u_seen, weight, options.smooth_px);

  // Lean round each pixel: begin with what is not plainly fat over the whole face, then leave
  // flecks out.
  std::vector<float> all = Sample(u, mask);
  const double lean_all = Quantile(all, 0.25);
  const double span = std::max(0.35, kUsualFatU - lean_all);
  cv::Mat lean_weight = weight.clone();
  lean_weight.setTo(0, (u > lean_all + 0.45 * span) | (map.unreadable > 0));
  cv::Mat lean = MaskedMean(u, lean_weight, sigma);
  for (int pass = 0; pass < 2; ++pass) {
    map.contrast = u - lean;
    lean_weight = weight.clone();
    lean_weight.setTo(0, (map.contrast > 0.7 * options.low_step * span) |
                             (u > lean_all + 0.45 * span) | (map.unreadable > 0));
    lean = MaskedMean(u, lean_weight, sigma);
  }
  map.contrast = u - lean;
  map.contrast.setTo(0, mask == 0);

  const cv::Mat high = (map.contrast > options.high_step * span) & mask;
  const cv::Mat low = (map.contrast > options.low_step * span) & mask;
  map.detected = Hysteresis(low, high, options.least_share * width * width);

  // Ratios of pure lean and of thick fat.
  std::vector<float> lean_values = Sample(lean, mask);
  const double lean_u = Quantile(lean_values, 0.5);
  map.lean_ratio = std::exp(lean_u);
  cv::Mat thick;
  cv::erode(map.detected, thick, cv::getStructuringElement(cv::MORPH_ELLIPSE, cv::Size(5, 5)));
  std::vector<float> fat_values = Sample(u, thick);
  map.fat_seen = fat_values.size() > 60;
  double fat_u = map.fat_seen ? Quantile(fat_values, 0.7) : kUsualFatU;
  fat_u = std::max(fat_u, lean_u + 0.45 * span);
  map.fat_ratio = std::exp(fat_u);

  // Red light of fat against lean, from the pixels themselves where both are seen.
  double k = 1.7;  // assumed without thick fat
  if (map.fat_seen) {
    std::vector<float> fat_red = Sample(log_red, thick);
    cv::Mat plain = (map.contrast < 0.3 * options.low_step * span) & mask & (map.unreadable == 0);
    std::vector<float> lean_red = Sample(log_red, plain);
    if (!fat_red.empty() && !lean_red.empty()) {
      k = std::clamp(std::exp(Quantile(fat_red, 0.5) - Quantile(lean_red, 0.5)), 1.0, 4.0);
    }
  }
  cv::Mat gate;
  cv::dilate(map.detected, gate, cv::getStructuringElement(cv::MORPH_ELLIPSE, cv::Size(5, 5)));
  map.fraction = cv::Mat::zeros(rgb.size(), CV_32F);
  for (int y = 0; y < rgb.rows; ++y) {
    const auto* g = gate.ptr<std::uint8_t>(y);
    const auto* m = mask.ptr<std::uint8_t>(y);
    const auto* l = lean.ptr<float>(y);
    const auto* v = seen.ptr<float>(y);
    auto* f = map.fraction.ptr<float>(y);
    for (int x = 0; x < rgb.cols; ++x) {
      if (!g[x] || !m[x]) continue;
      const double rl = std::exp(static_cast<double>(l[x]));
      const double rf = std::max(map.fat_ratio, rl * 1.5);
      const double r = std::exp(static_cast<double>(v[x]));
      if (r <= rl) continue;
      f[x] = r >= rf ? 1.0F : static_cast<float>((r - rl) / ((r - rl) + k * (rf - r)));
    }
  }
  return map;
}

}  // namespace ribwright::face
