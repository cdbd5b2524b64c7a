// SPDX-License-Identifier: Apache-2.0
#include "face/muscles.h"

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "face/morphology.h"

namespace ribwright::face {
namespace {

constexpr double kWorkPxPerMm = 3.0;  // assumed: seams of 1 mm are 3 pixels

double Elongation(const cv::Mat& mask) {
  std::vector<cv::Point> points;
  cv::findNonZero(mask, points);
  if (points.size() < 5) return 1.0;
  const cv::RotatedRect box = cv::minAreaRect(points);
  const double a = std::max(box.size.width, box.size.height);
  const double b = std::max(1.0F, std::min(box.size.width, box.size.height));
  return a / b;
}

}  // namespace

MuscleMap PartMuscles(const cv::Mat& fraction, const cv::Mat& mask, double mm_px) {
  MuscleMap map;
  map.labels = cv::Mat::zeros(mask.size(), CV_32S);
  const double scale = std::min(1.0, kWorkPxPerMm / mm_px);
  const double mm = mm_px * scale;
  cv::Mat fat;
  cv::Mat meat;
  const cv::Size size(std::max(4, int(std::lround(mask.cols * scale))),
                      std::max(4, int(std::lround(mask.rows * scale))));
  cv::resize(fraction, fat, size, 0, 0, cv::INTER_AREA);
  cv::resize(mask, meat, size, 0, 0, cv::INTER_AREA);
  meat = meat > 127;
  const double face_area = cv::countNonZero(meat);
  if (face_area < 30) return map;

  // Thick fat: what an opening of the fat by half a seam's least width leaves, and pieces long
  // enough.
  cv::Mat smooth;
  cv::GaussianBlur(fat, smooth, cv::Size(), 0.45 * mm);
  cv::Mat fat_mask = (smooth > 0.42) & meat;
  cv::Mat thick;
  cv::morphologyEx(fat_mask, thick, cv::MORPH_OPEN, Ellipse(0.7 * mm));
  cv::Mat labels;
  cv::Mat stats;
  cv::Mat centres;
  int n = cv::connectedComponentsWithStats(fat_mask, labels, stats, centres, 8);
  cv::Mat seam = cv::Mat::zeros(size, CV_8U);
  const double width = std::sqrt(face_area);
  for (int i = 1; i < n; ++i) {
    const double reach =
        std::hypot(stats.at<int>(i, cv::CC_STAT_WIDTH), stats.at<int>(i, cv::CC_STAT_HEIGHT));
    if (reach > 0.30 * width) seam.setTo(255, labels == i);
  }
  cv::Mat thick_long = cv::Mat::zeros(size, CV_8U);
  n = cv::connectedComponentsWithStats(thick, labels, stats, centres, 8);
  for (int i = 1; i < n; ++i) {
    const double reach =
        std::hypot(stats.at<int>(i, cv::CC_STAT_WIDTH), stats.at<int>(i, cv::CC_STAT_HEIGHT));
    if (reach > 0.10 * width) thick_long.setTo(255, labels == i);
  }
  cv::Mat barrier = seam | thick_long;

  // Cores: what lies clear of barriers and of the rim. The radius falls until the largest core is a
  // part of the face that an eye can be.
  cv::Mat open = meat & ~barrier;
  cv::copyMakeBorder(open, open, 1, 1, 1, 1, cv::BORDER_CONSTANT, cv::Scalar(0));
  cv::Mat distance;
  cv::distanceTransform(open, distance, cv::DIST_L2, 5);
  distance = distance(cv::Rect(1, 1, size.width, size.height)).clone();
  cv::Mat cores;
  for (double radius = 4.0; radius >= 1.0; radius *= 0.75) {
    cores = distance > radius * mm;
    n = cv::connectedComponentsWithStats(cores, labels, stats, centres, 8);
    int largest = 0;
    for (int i = 1; i < n; ++i) largest = std::max(largest, stats.at<int>(i, cv::CC_STAT_AREA));
    if (largest > 0.10 * face_area) break;
  }
  std::vector<int> seeds;
  for (int i = 1; i < n; ++i) {
    if (stats.at<int>(i, cv::CC_STAT_AREA) > std::max(4.0, 0.004 * face_area)) seeds.push_back(i);
  }
  if (seeds.empty()) return map;
  cv::Mat markers = cv::Mat::zeros(size, CV_32S);
  for (std::size_t k = 0; k < seeds.size(); ++k) markers.setTo(int(k) + 2, labels == seeds[k]);
  markers.setTo(1, meat == 0);
  cv::Mat thick_core;
  cv::erode(thick_long, thick_core, Ellipse(0.5 * mm));
  markers.setTo(1, thick_core);
  cv::Mat relief;
  smooth.convertTo(relief, CV_8U, 255.0);
  cv::Mat relief3;
  cv::cvtColor(relief, relief3, cv::COLOR_GRAY2BGR);
  cv::watershed(relief3, markers);

  struct Grown {
    int label;
    double area;
    double elongation;
    cv::Mat mask;
  };
  std::vector<Grown> grown;
  for (std::size_t k = 0; k < seeds.size(); ++k) {
    cv::Mat region = (markers == int(k) + 2) & meat;
    region.setTo(0, thick);
    cv::morphologyEx(region, region, cv::MORPH_CLOSE, Ellipse(0.8 * mm));
    cv::morphologyEx(region, region, cv::MORPH_OPEN, Ellipse(0.8 * mm));
    std::vector<std::vector<cv::Point>> rings;
    cv::findContours(region, rings, cv::RETR_EXTERNAL, cv::CHAIN_APPROX_NONE);
    if (rings.empty()) continue;
    const auto best = std::max_element(
        rings.begin(), rings.end(),
        [](const auto& a, const auto& b) { return cv::contourArea(a) < cv::contourArea(b); });
    cv::Mat filled = cv::Mat::zeros(size, CV_8U);
    cv::drawContours(filled, rings, int(best - rings.begin()), cv::Scalar(255), cv::FILLED);
    filled.setTo(0, meat == 0);
    const double area = cv::countNonZero(filled);
    if (area < 0.008 * face_area) continue;
    grown.push_back({int(k), area, Elongation(filled), filled});
  }
  if (grown.empty()) return map;

  // The eye: largest after long shapes are counted down.
  std::size_t eye = 0;
  double best_score = -1.0;
  double second = -1.0;
  for (std::size_t i = 0; i < grown.size(); ++i) {
    const double score = grown[i].area / std::max(1.0, grown[i].elongation - 0.8);
    if (score > best_score) {
      second = best_score;
      best_score = score;
      eye = i;
    } else {
      second = std::max(second, score);
    }
  }
  map.eye_certain = grown[eye].area > 0.18 * face_area && best_score > 1.3 * std::max(second, 0.0);

  // The cap: long, next to the eye, not small.
  cv::Mat round_eye;
  cv::dilate(grown[eye].mask, round_eye, Ellipse(7.0 * mm));
  std::size_t cap = grown.size();
  double cap_score = 0.0;
  for (std::size_t i = 0; i < grown.size(); ++i) {
    if (i == eye) continue;
    const double beside = cv::countNonZero(grown[i].mask & round_eye) / grown[i].area;
    const double score = beside * grown[i].area * std::min(2.5, grown[i].elongation);
    if (grown[i].area > 0.05 * grown[eye].area && grown[i].elongation > 1.6 && score > cap_score) {
      cap_score = score;
      cap = i;
    }
  }
  std::vector<std::size_t> order{eye};
  if (cap < grown.size()) order.push_back(cap);
  std::vector<std::size_t> rest;
  for (std::size_t i = 0; i < grown.size(); ++i) {
    if (i != eye && i != cap) rest.push_back(i);
  }
  std::sort(rest.begin(), rest.end(),
            [&](auto a, auto b) { return grown[a].area > grown[b].area; });
  order.insert(order.end(), rest.begin(), rest.end());
  for (std::size_t i : order) {
    MuscleRegion region;
    region.name = i == eye   ? report::MuscleName::kLongissimus
                  : i == cap ? report::MuscleName::kSpinalis
                             : report::MuscleName::kOther;
    cv::Mat soft;
    grown[i].mask.convertTo(soft, CV_32F, 1.0 / 255.0);
    cv::GaussianBlur(soft, soft, cv::Size(), 0.8);
    cv::resize(soft, soft, mask.size(), 0, 0, cv::INTER_LINEAR);
    region.mask = (soft > 0.5) & mask & (map.labels == 0);
    region.area_px = cv::countNonZero(region.mask);
    if (region.area_px < 10) continue;
    region.elongation = grown[i].elongation;
    map.regions.push_back(region);
    map.labels.setTo(int(map.regions.size()), region.mask);
  }
  return map;
}

}  // namespace ribwright::face
