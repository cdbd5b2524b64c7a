// SPDX-License-Identifier: Apache-2.0
#include "face/face_traits.h"

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>
#include <vector>

#include "photo/srgb.h"

namespace ribwright::face {
namespace {

constexpr double kLeast = 1e-4;  // of light: keeps logarithms finite
constexpr int kFewest = 50;      // pixels for a median

double Quantile(std::vector<double>& values, double q) {
  if (values.empty()) return 0.0;
  const auto at = values.begin() + std::ptrdiff_t(q * double(values.size() - 1));
  std::nth_element(values.begin(), at, values.end());
  return *at;
}

struct Colours {
  std::vector<double> green;      // ln(green / red)
  std::vector<double> blue;       // ln(blue / green)
  std::vector<double> luminance;  // ln
};

Colours ColoursOf(const cv::Mat& rgb, const cv::Mat& where) {
  static const std::array<double, 256> linear = [] {
    std::array<double, 256> table{};
    for (std::size_t i = 0; i < table.size(); ++i) {
      table[i] = std::max(kLeast, photo::LinearFromSrgb(double(i) / 255.0));
    }
    return table;
  }();
  Colours seen;
  const int step = std::max(1, int(std::sqrt(cv::countNonZero(where) / 2e4)));
  for (int y = 0; y < where.rows; y += step) {
    for (int x = 0; x < where.cols; x += step) {
      if (!where.at<std::uint8_t>(y, x)) continue;
      const auto& p = rgb.at<cv::Vec3b>(y, x);
      const double r = linear[p[0]];
      const double g = linear[p[1]];
      const double b = linear[p[2]];
      seen.green.push_back(std::log(g / r));
      seen.blue.push_back(std::log(b / g));
      seen.luminance.push_back(std::log(0.2126 * r + 0.7152 * g + 0.0722 * b));
    }
  }
  return seen;
}

double Deviation(const cv::Mat& picture, const cv::Mat& mask) {
  cv::Scalar mean;
  cv::Scalar sd;
  cv::meanStdDev(picture, mean, sd, mask);
  return std::max(0.02, sd[0]);
}

void Detail(const TraitInput& in, FaceTraits& t) {
  cv::Mat grey;
  cv::cvtColor(in.rgb, grey, cv::COLOR_RGB2GRAY);
  grey.convertTo(grey, CV_32F);
  cv::Mat middle;
  cv::Mat coarse;
  cv::GaussianBlur(grey, middle, cv::Size(), 2.0);
  cv::GaussianBlur(middle, coarse, cv::Size(), 3.4641016);  // to 4 px in all
  std::array<double, 3> level{};
  const std::array<const cv::Mat*, 3> pictures{&grey, &middle, &coarse};
  for (std::size_t i = 0; i < 3; ++i) {
    cv::Mat step;
    cv::Laplacian(*pictures[i], step, CV_32F);
    level[i] = Deviation(step, in.mask);
  }
  t[std::size_t(Trait::kFine)] = std::log(level[0] / level[1]);
  t[std::size_t(Trait::kMiddle)] = std::log(level[1] / level[2]);
  cv::Mat dx;
  cv::Mat dy;
  cv::Sobel(grey, dx, CV_32F, 1, 0, 3, 1.0 / 8.0);
  cv::Sobel(grey, dy, CV_32F, 0, 1, 3, 1.0 / 8.0);
  std::vector<double> steps;
  for (int y = 0; y < grey.rows; y += 2) {
    for (int x = y / 2 % 2; x < grey.cols; x += 2) {
      if (in.mask.at<std::uint8_t>(y, x)) {
        steps.push_back(std::hypot(dx.at<float>(y, x), dy.at<float>(y, x)));
      }
    }
  }
  const double mean = std::max(1.0, cv::mean(grey, in.mask)[0]);
  t[std::size_t(Trait::kEdge)] = std::log(std::max(0.05, Quantile(steps, 0.99)) / mean);
}

}  // namespace

FaceTraits TraitsOf(const TraitInput& in) {
  FaceTraits t{};
  const auto set = [&](Trait trait, double value) { t[std::size_t(trait)] = value; };
  const double area = std::max(1, cv::countNonZero(in.mask));
  const cv::Mat lean = in.muscles & (in.fat.fraction < 0.05) & ~in.fat.unreadable;
  Colours of_lean = ColoursOf(in.rgb, lean);
  if (of_lean.green.size() < kFewest) of_lean = ColoursOf(in.rgb, in.mask);
  const double lean_green = Quantile(of_lean.green, 0.5);
  const double lean_light = Quantile(of_lean.luminance, 0.5);
  set(Trait::kLeanGreen, lean_green);
  set(Trait::kLeanBlue, Quantile(of_lean.blue, 0.5));
  set(Trait::kLeanEven, Quantile(of_lean.luminance, 0.75) - Quantile(of_lean.luminance, 0.25));
  cv::Mat thick;
  cv::erode(cv::Mat(in.fat.fraction > 0.9F), thick,
            cv::getStructuringElement(cv::MORPH_ELLIPSE, cv::Size(5, 5)));
  thick &= ~in.fat.unreadable;
  Colours of_fat = ColoursOf(in.rgb, thick & in.mask);
  if (of_fat.green.size() < kFewest) {
    set(Trait::kNoThickFat, 1.0);
  } else {
    set(Trait::kFatAboveLean, Quantile(of_fat.green, 0.5) - lean_green);
    set(Trait::kFatBrighter, Quantile(of_fat.luminance, 0.5) - lean_light);
  }
  Detail(in, t);
  set(Trait::kMarbling, std::log1p(std::max(0.0, in.marbling_pct)));
  set(Trait::kDisagreement, std::log1p(std::max(0.0, in.disagreement)));
  set(Trait::kUnreadable, std::sqrt(cv::countNonZero(in.fat.unreadable & in.mask) / area));
  cv::Mat pale;
  cv::inRange(in.rgb, cv::Scalar(175, 165, 155), cv::Scalar(255, 255, 255), pale);
  pale &= in.mask & (in.fat.fraction < 0.5);
  set(Trait::kPaleNotFat, std::sqrt(cv::countNonZero(pale) / area));
  const double inside = cv::countNonZero(in.muscles & in.mask);
  set(Trait::kMuscleShare, inside / area);
  const cv::Mat flecks = in.fat.detected & in.muscles;
  cv::Mat core;
  cv::erode(flecks, core, cv::Mat());
  const double rim = cv::countNonZero(flecks) - cv::countNonZero(core);
  set(Trait::kFatRagged, std::log((1.0 + rim) / std::sqrt(std::max(1.0, inside))));
  return t;
}

}  // namespace ribwright::face
