// SPDX-License-Identifier: Apache-2.0
#include "phantom/ground_meat.h"

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "math/rng.h"

namespace ribwright::phantom {
namespace {

constexpr double kPi = 3.14159265358979323846;

struct Piece {  // of one strand
  cv::Point2d from, to;
  double radius;
  double fat;
};

void Lay(FaceRaster& face, const Piece& piece) {
  const double r = piece.radius;
  const cv::Point2d d = piece.to - piece.from;
  const double length2 = std::max(d.dot(d), 1e-9);
  const auto low = [&](double a, double b) {
    return std::max(0, static_cast<int>(std::floor(std::min(a, b) - r)));
  };
  const auto high = [&](double a, double b, int most) {
    return std::min(most - 1, static_cast<int>(std::floor(std::max(a, b) + r)));
  };
  const int y1 = high(piece.from.y, piece.to.y, face.label.rows);
  const int x1 = high(piece.from.x, piece.to.x, face.label.cols);
  const int x0 = low(piece.from.x, piece.to.x);
  for (int y = low(piece.from.y, piece.to.y); y <= y1; ++y) {
    const std::uint8_t* label = face.label.ptr<std::uint8_t>(y);
    std::uint8_t* fat = face.fat.ptr<std::uint8_t>(y);
    std::uint8_t* shade = face.shade.ptr<std::uint8_t>(y);
    for (int x = x0; x <= x1; ++x) {
      if (label[x] == kOutside) continue;
      const cv::Point2d q(x + 0.5 - piece.from.x, y + 0.5 - piece.from.y);
      const double t = std::clamp(q.dot(d) / length2, 0.0, 1.0);
      const cv::Point2d away = q - t * d;
      const double out2 = away.dot(away) / (r * r);
      if (out2 >= 1.0) continue;
      fat[x] = static_cast<std::uint8_t>(255.0 * piece.fat);
      shade[x] = static_cast<std::uint8_t>(255.0 * (1.0 - 0.55 * out2 * out2));
    }
  }
}

}  // namespace

void GrindFace(FaceRaster& face, const Recipe& recipe) {
  math::Rng rng = math::Rng(recipe.seed).Fork(350);
  const cv::Mat meat = face.label != static_cast<int>(kOutside);
  face.label.setTo(kFirstMuscle, meat);
  face.fat.setTo(0);
  face.shade = cv::Mat(face.label.size(), CV_8U, cv::Scalar(110));  // what lies deep is dark
  RasterMuscle all;
  all.box = cv::boundingRect(meat);
  all.pixels = cv::countNonZero(meat);
  all.marbling_aim = recipe.eye_marbling;
  face.muscles = {all};
  face.eye = 0;
  const double s = face.px_per_mm;
  const double strand_px = 16.0 * 3.2 * s * s;  // a typical strand's area
  const int strands = static_cast<int>(2.4 * static_cast<double>(all.pixels) / strand_px);
  for (int i = 0; i < strands; ++i) {
    cv::Point2d p(all.box.x + rng.Uniform() * all.box.width,
                  all.box.y + rng.Uniform() * all.box.height);
    double heading = rng.Uniform(0, 2 * kPi);
    const double radius = rng.Uniform(1.2, 2.0) * s;
    const bool white = rng.Chance(std::min(0.9, 1.2 * recipe.eye_marbling));
    const double smeared = white ? rng.Uniform(0.6, 1.0) : 0.12 * rng.Uniform();
    const int steps = 4 + static_cast<int>(rng.Below(8));
    for (int k = 0; k < steps; ++k) {
      heading += rng.Normal(0, 0.25);
      const cv::Point2d next = p + 2.1 * s * cv::Point2d(std::cos(heading), std::sin(heading));
      Lay(face, {p, next, radius, std::clamp(smeared + rng.Normal(0, 0.05), 0.0, 1.0)});
      p = next;
    }
  }
}

}  // namespace ribwright::phantom
