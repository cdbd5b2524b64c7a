// SPDX-License-Identifier: Apache-2.0
#include "photo/colour_fit.h"

#include <cmath>

#include "base/check.h"
#include "photo/delta_e.h"
#include "photo/least_squares.h"

namespace ribwright::photo {
namespace {

constexpr double kRidge = 5.0;     // residual a matrix entry pulls with, per unit
constexpr double kToneGain = 0.8;  // the exponent must cut the leave-one-out error to this share
constexpr double kLeastLightness = 1e-4;

struct Model {
  const std::vector<ColourPair>& pairs;
  cv::Matx33d start;
  bool with_tone = false;
  std::size_t left_out = static_cast<std::size_t>(-1);

  ColourFit At(const Eigen::VectorXd& x) const {
    ColourFit fit;
    fit.xyz_from_relative = start;
    for (int i = 0; i < 9; ++i) fit.xyz_from_relative(i / 3, i % 3) += x[i];
    fit.tone = with_tone ? std::exp(x[9]) : 1.0;
    return fit;
  }

  Eigen::VectorXd Residuals(const Eigen::VectorXd& x) const {
    const ColourFit fit = At(x);
    Eigen::VectorXd r(static_cast<Eigen::Index>(3 * pairs.size()) + x.size());
    Eigen::Index at = 0;
    for (std::size_t i = 0; i < pairs.size(); ++i) {
      const LabColour lab = Foretell(fit, pairs[i].relative);
      const double chroma = std::hypot(pairs[i].lab.a, pairs[i].lab.b);
      const double weight = i == left_out ? 0.0 : 1.0;
      r[at++] = weight * (lab.L - pairs[i].lab.L);
      r[at++] = weight * (lab.a - pairs[i].lab.a) / (1.0 + 0.045 * chroma);
      r[at++] = weight * (lab.b - pairs[i].lab.b) / (1.0 + 0.045 * chroma);
    }
    for (Eigen::Index i = 0; i < x.size(); ++i) r[at++] = kRidge * x[i];
    return r;
  }

  Eigen::VectorXd Fit(const Eigen::VectorXd& from) const {
    return FitLeastSquares([this](const Eigen::VectorXd& x) { return Residuals(x); }, from, 25).x;
  }
};

// Mean CIEDE2000 of every pair from a fit that did not see it.
double LeaveOneOut(Model model, const Eigen::VectorXd& whole) {
  double sum = 0.0;
  for (std::size_t i = 0; i < model.pairs.size(); ++i) {
    model.left_out = i;
    const ColourFit fit = model.At(model.Fit(whole));
    sum += DeltaE2000(Foretell(fit, model.pairs[i].relative), model.pairs[i].lab);
  }
  return sum / static_cast<double>(model.pairs.size());
}

}  // namespace

LabColour Foretell(const ColourFit& fit, const cv::Vec3d& relative) {
  cv::Vec3d v = relative;
  if (fit.tone != 1.0) {
    for (int c = 0; c < 3; ++c) v[c] = std::pow(std::max(kLeastLightness, v[c]), fit.tone);
  }
  return LabFromXyz(fit.xyz_from_relative * v);
}

ColourFit FitColour(const std::vector<ColourPair>& pairs, const cv::Matx33d& start) {
  RIBWRIGHT_CHECK(pairs.size() >= 10);
  const Model plain{pairs, start, false};
  const Eigen::VectorXd plain_x = plain.Fit(Eigen::VectorXd::Zero(9));
  ColourFit best = plain.At(plain_x);
  best.residual_de00 = LeaveOneOut(plain, plain_x);
  const Model toned{pairs, start, true};
  const Eigen::VectorXd toned_x = toned.Fit(Eigen::VectorXd::Zero(10));
  const double toned_residual = LeaveOneOut(toned, toned_x);
  if (toned_residual < kToneGain * best.residual_de00) {
    best = toned.At(toned_x);
    best.residual_de00 = toned_residual;
  }
  RIBWRIGHT_CHECK(std::isfinite(best.residual_de00));
  return best;
}

}  // namespace ribwright::photo
