// SPDX-License-Identifier: Apache-2.0
#include "face/meat_mask.h"

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "face/morphology.h"

namespace ribwright::face {
namespace {

constexpr double kSmallPixels = 90e3;      // assumed: outline to about 1 % of the face's width
constexpr double kLeastFaceShare = 0.012;  // assumed: smaller patches of meat are not faces

}  // namespace

cv::Mat LeanColoured(const cv::Mat& rgb) {
  cv::Mat lab;
  cv::cvtColor(rgb, lab, cv::COLOR_RGB2Lab);
  cv::Mat lean(rgb.size(), CV_8U);
  for (int y = 0; y < rgb.rows; ++y) {
    const auto* p = lab.ptr<cv::Vec3b>(y);
    auto* out = lean.ptr<std::uint8_t>(y);
    for (int x = 0; x < rgb.cols; ++x) {
      const double a = p[x][1] - 128.0;
      const double b = p[x][2] - 128.0;
      // assumed limits: raw lean has hue -35..50 degrees; boards of wood and butcher paper lie
      // above 55.
      out[x] = a > 10.0 && b < 1.2 * a && b > -0.7 * a && p[x][0] > 20 && p[x][0] < 200 ? 255 : 0;
    }
  }
  return lean;
}

MeatMask FindMeat(const cv::Mat& rgb, const cv::Mat& ignore) {
  MeatMask result;
  const double pixels = static_cast<double>(rgb.cols) * rgb.rows;
  result.small_from_photo = std::min(1.0, std::sqrt(kSmallPixels / pixels));
  const double s = result.small_from_photo;
  cv::Mat small;
  cv::resize(rgb, small,
             cv::Size(std::max(8, int(std::lround(rgb.cols * s))),
                      std::max(8, int(std::lround(rgb.rows * s)))),
             0, 0, cv::INTER_AREA);
  cv::Mat barred = cv::Mat::zeros(small.size(), CV_8U);
  if (!ignore.empty()) cv::resize(ignore, barred, small.size(), 0, 0, cv::INTER_NEAREST);

  cv::Mat smooth;
  cv::GaussianBlur(small, smooth, cv::Size(), 1.2);
  cv::Mat lean = LeanColoured(smooth);
  lean.setTo(0, barred);
  cv::Mat core;
  cv::morphologyEx(lean, core, cv::MORPH_OPEN, Ellipse(2));
  result.lean_share = cv::countNonZero(core) / static_cast<double>(core.total());
  result.mask = cv::Mat::zeros(small.size(), CV_8U);
  result.labels = cv::Mat::zeros(small.size(), CV_32S);
  if (result.lean_share < 0.004) return result;

  // Pieces of lean too small to be a face do not steer the cut.
  cv::Mat labels;
  cv::Mat stats;
  cv::Mat centres;
  cv::Mat joined;
  cv::morphologyEx(core, joined, cv::MORPH_CLOSE, Ellipse(std::max(3, small.cols / 60)));
  const int n = cv::connectedComponentsWithStats(joined, labels, stats, centres);
  int largest = 0;
  for (int i = 1; i < n; ++i) largest = std::max(largest, stats.at<int>(i, cv::CC_STAT_AREA));
  cv::Mat hull_mask = cv::Mat::zeros(small.size(), CV_8U);
  for (int i = 1; i < n; ++i) {
    const cv::Mat piece = labels == i;
    if (stats.at<int>(i, cv::CC_STAT_AREA) < 0.04 * largest) {
      core.setTo(0, piece);
      continue;
    }
    hull_mask.setTo(255, piece);
  }
  const int reach = std::max(6, static_cast<int>(0.22 * std::sqrt(double(largest))));
  cv::Mat near;
  cv::dilate(hull_mask, near, Ellipse(reach));

  // Ground: far from lean. Its commonest brightness tells a white board.
  cv::Mat ground = near == 0;
  ground.setTo(0, barred);
  if (cv::countNonZero(ground) > 50) {
    const cv::Scalar mean = cv::mean(small, ground);
    result.white_ground = mean[0] > 190 && mean[1] > 185 && mean[2] > 175;
  }

  cv::Mat cut(small.size(), CV_8U, cv::Scalar(cv::GC_PR_BGD));
  cut.setTo(cv::GC_BGD, near == 0);
  // Next to lean, take as probably meat what is unlike the plain ground.
  cv::Mat lab;
  cv::cvtColor(smooth, lab, cv::COLOR_RGB2Lab);
  if (cv::countNonZero(ground) > 50) {
    cv::Scalar mean;
    cv::Scalar sd;
    cv::meanStdDev(lab, mean, sd, ground);
    for (int y = 0; y < lab.rows; ++y) {
      for (int x = 0; x < lab.cols; ++x) {
        if (near.at<std::uint8_t>(y, x) == 0) continue;
        const auto& p = lab.at<cv::Vec3b>(y, x);
        double d = 0.0;
        for (int c = 0; c < 3; ++c) {
          const double t = (p[c] - mean[c]) / (sd[c] + 4.0);
          d += t * t;
        }
        if (d > 9.0) cut.at<std::uint8_t>(y, x) = cv::GC_PR_FGD;
      }
    }
  } else {
    cut.setTo(cv::GC_PR_FGD, near);
  }
  cv::Mat sure;
  cv::erode(core, sure, Ellipse(1));
  cut.setTo(cv::GC_FGD, sure);
  cut.setTo(cv::GC_BGD, barred);
  const bool both = cv::countNonZero((cut == cv::GC_BGD) | (cut == cv::GC_PR_BGD)) > 20;
  if (both) {
    cv::Mat bgd;
    cv::Mat fgd;
    cv::setRNGSeed(1);
    cv::Mat bgr;
    cv::cvtColor(small, bgr, cv::COLOR_RGB2BGR);
    cv::grabCut(bgr, cut, cv::Rect(), bgd, fgd, 3, cv::GC_INIT_WITH_MASK);
    result.mask = (cut == cv::GC_FGD) | (cut == cv::GC_PR_FGD);
  } else {
    result.mask.setTo(255);
    result.mask.setTo(0, barred);
  }
  cv::morphologyEx(result.mask, result.mask, cv::MORPH_OPEN, Ellipse(2));
  FillHoles(result.mask);
  result.mask.setTo(0, barred);

  const int m = cv::connectedComponentsWithStats(result.mask, labels, stats, centres);
  std::vector<std::pair<int, int>> order;
  int most = 0;
  for (int i = 1; i < m; ++i) most = std::max(most, stats.at<int>(i, cv::CC_STAT_AREA));
  for (int i = 1; i < m; ++i) {
    const int area = stats.at<int>(i, cv::CC_STAT_AREA);
    const double lean_in = cv::countNonZero((labels == i) & core);
    if (area < kLeastFaceShare * double(small.total()) || area < 0.15 * most) continue;
    if (lean_in < 0.12 * area) continue;
    order.emplace_back(area, i);
  }
  std::sort(order.rbegin(), order.rend());
  cv::Mat kept = cv::Mat::zeros(small.size(), CV_8U);
  for (std::size_t k = 0; k < order.size(); ++k) {
    const int i = order[k].second;
    const cv::Rect r(stats.at<int>(i, cv::CC_STAT_LEFT), stats.at<int>(i, cv::CC_STAT_TOP),
                     stats.at<int>(i, cv::CC_STAT_WIDTH), stats.at<int>(i, cv::CC_STAT_HEIGHT));
    MeatRegion region;
    const int x0 = std::max(0, int(std::floor((r.x - 2) / s)));
    const int y0 = std::max(0, int(std::floor((r.y - 2) / s)));
    const int x1 = std::min(rgb.cols, int(std::ceil((r.x + r.width + 2) / s)));
    const int y1 = std::min(rgb.rows, int(std::ceil((r.y + r.height + 2) / s)));
    region.box = cv::Rect(x0, y0, x1 - x0, y1 - y0);
    region.share = order[k].first / double(small.total());
    region.touches_edge =
        r.x <= 0 || r.y <= 0 || r.x + r.width >= small.cols || r.y + r.height >= small.rows;
    const cv::Mat piece = labels == i;
    kept.setTo(255, piece);
    result.labels.setTo(int(k) + 1, piece);
    result.regions.push_back(region);
  }
  result.mask = kept;
  return result;
}

}  // namespace ribwright::face
