// SPDX-License-Identifier: Apache-2.0
#include "cooking/series.h"

#include <algorithm>
#include <boost/math/special_functions/bessel.hpp>
#include <boost/math/tools/toms748_solve.hpp>
#include <cmath>
#include <cstdint>
#include <limits>
#include <numbers>

#include "base/check.h"

namespace ribwright::cooking {
namespace {

constexpr int kTerms = 400;
constexpr double kPi = std::numbers::pi;

template <typename F>
double Root(const F& f, double low, double high) {
  std::uintmax_t steps = 100;
  const auto bracket = boost::math::tools::toms748_solve(
      f, low, high, boost::math::tools::eps_tolerance<double>(50), steps);
  return 0.5 * (bracket.first + bracket.second);
}

double J0(double z) { return boost::math::cyl_bessel_j(0, z); }
double J1(double z) { return boost::math::cyl_bessel_j(1, z); }

// The n-th root, n from 1. Each lies alone between a root for Bi = 0 and one for Bi = infinity.
double Zeta(Body body, double biot, int n) {
  const bool held = std::isinf(biot);
  switch (body) {
    case Body::kSlab: {
      const double low = (n - 1) * kPi;
      if (held) return low + 0.5 * kPi;
      return Root([biot](double z) { return z * std::sin(z) - biot * std::cos(z); }, low,
                  low + 0.5 * kPi);
    }
    case Body::kSphere: {
      if (held) return n * kPi;
      // Bi = 0 has its n-th root above (n - 1) pi, so the bracket need not start there; the root
      // z = 0 of the first interval is kept out.
      const double low = n == 1 ? 1e-6 : (n - 1) * kPi;
      const auto f = [biot](double z) { return (1.0 - biot) * std::sin(z) - z * std::cos(z); };
      return Root(f, low, n * kPi);
    }
    case Body::kCylinder: {
      const double high = boost::math::cyl_bessel_j_zero(0.0, n);
      if (held) return high;
      const double low = n == 1 ? 1e-9 : boost::math::cyl_bessel_j_zero(1.0, n - 1);
      return Root([biot](double z) { return z * J1(z) - biot * J0(z); }, low, high);
    }
  }
  RIBWRIGHT_CHECK(false);
  return 0.0;
}

double Weight(Body body, double z) {
  switch (body) {
    case Body::kSlab:
      return 4.0 * std::sin(z) / (2.0 * z + std::sin(2.0 * z));
    case Body::kCylinder:
      return 2.0 * J1(z) / (z * (J0(z) * J0(z) + J1(z) * J1(z)));
    case Body::kSphere:
      return 4.0 * (std::sin(z) - z * std::cos(z)) / (2.0 * z - std::sin(2.0 * z));
  }
  return 0.0;
}

double Mode(Body body, double zx) {
  switch (body) {
    case Body::kSlab:
      return std::cos(zx);
    case Body::kCylinder:
      return J0(zx);
    case Body::kSphere:
      return zx < 1e-6 ? 1.0 : std::sin(zx) / zx;
  }
  return 0.0;
}

double MeanMode(Body body, double z) {
  switch (body) {
    case Body::kSlab:
      return std::sin(z) / z;
    case Body::kCylinder:
      return 2.0 * J1(z) / z;
    case Body::kSphere:
      return 3.0 * (std::sin(z) - z * std::cos(z)) / (z * z * z);
  }
  return 0.0;
}

}  // namespace

Series::Series(Body body, double biot) : body_(body) {
  RIBWRIGHT_CHECK(biot > 0.0);
  terms_.reserve(kTerms);
  for (int n = 1; n <= kTerms; ++n) {
    const double z = Zeta(body, biot, n);
    terms_.push_back({z, Weight(body, z)});
  }
}

double Series::Theta(double x_over_l, double fourier) const {
  RIBWRIGHT_CHECK(x_over_l >= 0.0 && x_over_l <= 1.0 && fourier >= 0.0);
  if (fourier == 0.0) return 1.0;
  double sum = 0.0;
  for (const Term& term : terms_) {
    const double decay = term.zeta * term.zeta * fourier;
    if (decay > 40.0 && &term != &terms_.front()) break;
    sum += term.c * std::exp(-decay) * Mode(body_, term.zeta * x_over_l);
  }
  return sum;
}

double Series::Mean(double fourier) const {
  RIBWRIGHT_CHECK(fourier >= 0.0);
  if (fourier == 0.0) return 1.0;
  double sum = 0.0;
  for (const Term& term : terms_) {
    const double decay = term.zeta * term.zeta * fourier;
    if (decay > 40.0 && &term != &terms_.front()) break;
    sum += term.c * std::exp(-decay) * MeanMode(body_, term.zeta);
  }
  return sum;
}

double Series::FourierAt(double x_over_l, double theta) const {
  RIBWRIGHT_CHECK(theta > 0.0 && theta < 1.0);
  double high = 1.0;
  while (Theta(x_over_l, high) > theta) high *= 2.0;
  return Root([&](double fo) { return Theta(x_over_l, fo) - theta; }, 0.0, high);
}

double DeepFixed(double x_m, double alpha_t_m2) {
  RIBWRIGHT_CHECK(x_m >= 0.0 && alpha_t_m2 > 0.0);
  return std::erfc(x_m / (2.0 * std::sqrt(alpha_t_m2)));
}

double DeepFlux(double x_m, double alpha_t_m2, double flux_w_m2, double k_w_mk) {
  RIBWRIGHT_CHECK(x_m >= 0.0 && alpha_t_m2 > 0.0 && k_w_mk > 0.0);
  const double e = x_m / (2.0 * std::sqrt(alpha_t_m2));
  return 2.0 * flux_w_m2 / k_w_mk * std::sqrt(alpha_t_m2 / kPi) * std::exp(-e * e) -
         flux_w_m2 * x_m / k_w_mk * std::erfc(e);
}

double DeepConvection(double x_m, double alpha_t_m2, double h_w_m2k, double k_w_mk) {
  RIBWRIGHT_CHECK(x_m >= 0.0 && alpha_t_m2 > 0.0 && h_w_m2k > 0.0 && k_w_mk > 0.0);
  const double root = std::sqrt(alpha_t_m2);
  const double e = x_m / (2.0 * root);
  const double b = h_w_m2k * root / k_w_mk;
  // exp(hx/k + b^2) erfc(e + b), whose factors overflow apart: past 25 erfc's own asymptote.
  const double y = e + b;
  const double product = y < 25.0 ? std::exp(h_w_m2k * x_m / k_w_mk + b * b) * std::erfc(y)
                                  : std::exp(-e * e) / (y * std::sqrt(kPi)) * (1.0 - 0.5 / (y * y));
  return std::erfc(e) - product;
}

}  // namespace ribwright::cooking
