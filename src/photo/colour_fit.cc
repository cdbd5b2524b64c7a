// SPDX-License-Identifier: Apache-2.0
#include "photo/colour_fit.h"

#include <cmath>

#include "base/check.h"
#include "photo/delta_e.h"
#include "photo/least_squares.h"

namespace ribwright::photo {
namespace {

constexpr double kRidge = 5.0;       // residual a matrix entry pulls with, per unit
constexpr double kOtherRidge = 1.0;  // the same for the light's slopes and the exponent's logarithm
constexpr double kToneGain = 0.8;    // the exponent must cut the leave-one-out error to this share
constexpr double kLeastLightness = 1e-4;

struct Model {
  const std::vector<ColourPair>& pairs;
  cv::Matx33d start;
  bool with_tone = false;
  bool with_light = false;
  std::size_t left_out = static_cast<std::size_t>(-1);

  Eigen::Index Parameters() const { return 9 + (with_light ? 2 : 0) + (with_tone ? 1 : 0); }

  ColourFit At(const Eigen::VectorXd& x) const {
    ColourFit fit;
    fit.xyz_from_relative = start;
    for (int i = 0; i < 9; ++i) fit.xyz_from_relative(i / 3, i % 3) += x[i];
    Eigen::Index next = 9;
    if (with_light) {
      fit.light_slope = {x[next], x[next + 1]};
      next += 2;
    }
    fit.tone = with_tone ? std::exp(x[next]) : 1.0;
    return fit;
  }

  Eigen::VectorXd Residuals(const Eigen::VectorXd& x) const {
    const ColourFit fit = At(x);
    Eigen::VectorXd r(static_cast<Eigen::Index>(3 * pairs.size()) + x.size());
    Eigen::Index at = 0;
    for (std::size_t i = 0; i < pairs.size(); ++i) {
      const LabColour lab = Foretell(fit, pairs[i]);
      const double chroma = std::hypot(pairs[i].lab.a, pairs[i].lab.b);
      const double weight = i == left_out ? 0.0 : 1.0;
      r[at++] = weight * (lab.L - pairs[i].lab.L);
      r[at++] = weight * (lab.a - pairs[i].lab.a) / (1.0 + 0.045 * chroma);
      r[at++] = weight * (lab.b - pairs[i].lab.b) / (1.0 + 0.045 * chroma);
    }
    for (Eigen::Index i = 0; i < x.size(); ++i) r[at++] = (i < 9 ? kRidge : kOtherRidge) * x[i];
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
    sum += DeltaE2000(Foretell(fit, model.pairs[i]), model.pairs[i].lab);
  }
  return sum / static_cast<double>(model.pairs.size());
}

}  // namespace

LabColour Foretell(const ColourFit& fit, const ColourPair& pair) {
  cv::Vec3d v = pair.relative * std::exp(-fit.light_slope.dot(pair.at));
  if (fit.tone != 1.0) {
    for (int c = 0; c < 3; ++c) v[c] = std::pow(std::max(kLeastLightness, v[c]), fit.tone);
  }
  return LabFromXyz(fit.xyz_from_relative * v);
}

ColourFit FitColour(const std::vector<ColourPair>& pairs, const cv::Matx33d& start, LightIs light) {
  const bool with_light = light == LightIs::kToBeFitted;
  RIBWRIGHT_CHECK(pairs.size() >= (with_light ? 12U : 10U));
  std::optional<ColourFit> best;
  for (const bool with_tone : {false, true}) {
    const Model model{pairs, start, with_tone, with_light};
    const Eigen::VectorXd x = model.Fit(Eigen::VectorXd::Zero(model.Parameters()));
    ColourFit fit = model.At(x);
    fit.residual_de00 = LeaveOneOut(model, x);
    if (!best || fit.residual_de00 < kToneGain * best->residual_de00) best = fit;
  }
  RIBWRIGHT_CHECK(std::isfinite(best->residual_de00));
  return *best;
}

}  // namespace ribwright::photo
