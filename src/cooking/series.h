// SPDX-License-Identifier: Apache-2.0
// Exact transient conduction in simple bodies of constant properties: what the numerical solver is
// held against, and quick answers for textbook cases.
//
//   theta = (T - T_env) / (T_start - T_env),  Bi = h L / k,  Fo = alpha t / L^2
// L is half the thickness of a slab, the radius of a cylinder or sphere; x runs from 0 at the
// middle to L at the surface.
//   slab      z tan z = Bi          C = 4 sin z / (2z + sin 2z)               cos(z x/L)
//   cylinder  z J1(z) = Bi J0(z)    C = 2 J1(z) / (z (J0^2 + J1^2))           J0(z x/L)
//   sphere    1 - z cot z = Bi      C = 4 (sin z - z cos z) / (2z - sin 2z)   sin(z x/L) / (z x/L)
// theta = sum C exp(-z^2 Fo) f(z x/L). Source: carslaw-jaeger (equations recalled: memory; the
// published one-term table is reproduced row by row). A brick or a short cylinder is the product of
// its one-dimensional thetas (same source).
//
// Range: Bi > 0, infinity included (surface held at T_env); Fo >= 0; 0 <= x/L <= 1: else
// LogicError. Accuracy: 1e-9 for Fo >= 1e-4; below that the cut series is good to about 1e-4 near
// the surface. Cost: some 400 roots at construction, 0.1 ms. Thread-safe: plain data.
#pragma once

#include <vector>

namespace ribwright::cooking {

enum class Body { kSlab, kCylinder, kSphere };

struct Term {
  double zeta = 0.0;  // rad
  double c = 0.0;
};

class Series {
 public:
  Series(Body body, double biot);

  // The first term alone: good for Fo > 0.2.
  const Term& OneTerm() const { return terms_.front(); }
  double Theta(double x_over_l, double fourier) const;
  // Mean over the body's volume; 1 - Mean is the share of the heat that has passed.
  double Mean(double fourier) const;
  // The Fourier number at which theta at x falls to `theta` (0 < theta < 1).
  double FourierAt(double x_over_l, double theta) const;

 private:
  Body body_;
  std::vector<Term> terms_;
};

// Half-infinite body, at depth x after time t. All three give (T - T_start) in the unit of their
// drive: share of the surface's jump, kelvin for a flux, share of (T_env - T_start).
// Source: carslaw-jaeger (memory).
double DeepFixed(double x_m, double alpha_t_m2);
double DeepFlux(double x_m, double alpha_t_m2, double flux_w_m2, double k_w_mk);
double DeepConvection(double x_m, double alpha_t_m2, double h_w_m2k, double k_w_mk);

}  // namespace ribwright::cooking
