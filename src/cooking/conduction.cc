// SPDX-License-Identifier: Apache-2.0
#include "cooking/conduction.h"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "base/check.h"
#include "cooking/juice.h"

namespace ribwright::cooking {

HeatedPiece::HeatedPiece(const Material& material, double thickness_m, int cells, double start_c,
                         double shape)
    : material_(&material), thickness_m_(thickness_m), shape_(shape), cell_m_(thickness_m / cells) {
  RIBWRIGHT_CHECK(thickness_m >= 0.002 && thickness_m <= 2.0);
  RIBWRIGHT_CHECK(cells >= 8 && cells <= 4000 && shape >= 0.0 && shape <= 2.0);
  RIBWRIGHT_CHECK(std::isfinite(start_c));
  const auto n = static_cast<std::size_t>(cells);
  t_.assign(n, start_c);
  width_.assign(n, cell_m_);
  peak_ = t_;
  juice_.assign(n, 0.0);
  myoglobin_.assign(n, 1.0);
  start_enthalpy_ = material.H(start_c);
  Geometry();
}

void HeatedPiece::Geometry() {
  const std::size_t n = t_.size();
  x_.resize(n);
  volume_.resize(n);
  area_.resize(n + 1);
  double left = crust_[0];
  const double rim = thickness_m_;
  for (std::size_t i = 0; i < n; ++i) {
    const double right = left + width_[i];
    x_[i] = 0.5 * (left + right);
    if (shape_ == 0.0) {
      volume_[i] = width_[i];
      area_[i] = 1.0;
    } else {
      area_[i] = std::pow(left / rim, shape_);
      volume_[i] = rim / (shape_ + 1.0) *
                   (std::pow(right / rim, shape_ + 1.0) - std::pow(left / rim, shape_ + 1.0));
    }
    left = right;
  }
  area_[n] = 1.0;
  for (Stage* s : {&now_, &mid_, &end_}) {
    s->k.resize(n);
    s->c.resize(n);
    s->h.resize(n);
    s->flux.resize(n);
  }
  for (auto* v : {&known_, &start_storage_, &compact_, &diagonal_, &side_, &right_}) v->resize(n);
}

void HeatedPiece::Evaluate(const std::vector<double>& t, Stage& s) const {
  const std::size_t n = t.size();
  for (std::size_t i = 0; i < n; ++i) material_->Read(t[i], s.k[i], s.c[i], s.h[i]);
  double inflow = 0.0;
  if (shape_ == 0.0) {
    s.a = SolveSurface(around_[0], t[0], 2.0 * s.k[0] / width_[0], crust_[0]);
    inflow = s.a.meat_w_m2;
  }
  for (std::size_t i = 0; i + 1 < n; ++i) {
    const double g = area_[i + 1] * 0.5 * (s.k[i] + s.k[i + 1]) / (x_[i + 1] - x_[i]);
    const double out = g * (t[i] - t[i + 1]);
    s.flux[i] = inflow - out;
    inflow = out;
  }
  s.b = SolveSurface(around_[1], t[n - 1], 2.0 * s.k[n - 1] / width_[n - 1], crust_[1]);
  s.flux[n - 1] = inflow + s.b.meat_w_m2;
}

// Enthalpy with the compact correction; linear beyond the enthalpy, so that what one cell gains by
// it another loses.
void HeatedPiece::Storage(const std::vector<double>& t, const Stage& s,
                          std::vector<double>& out) const {
  const std::size_t n = t.size();
  for (std::size_t i = 0; i < n; ++i) out[i] = volume_[i] * s.h[i];
  for (std::size_t i = 0; i + 1 < n; ++i) {
    const double m = compact_[i] * (t[i + 1] - t[i]);
    out[i] += m;
    out[i + 1] -= m;
  }
  out[0] -= edge_[0] * t[0];
  out[n - 1] -= edge_[1] * t[n - 1];
}

bool HeatedPiece::SolveStage(const std::vector<double>& known, double weight_s,
                             std::vector<double>& t, Stage& s) {
  const std::size_t n = t.size();
  for (int round = 0; round < 25; ++round) {
    ++summary_.iterations;
    Evaluate(t, s);
    Storage(t, s, right_);
    for (std::size_t i = 0; i < n; ++i) {
      right_[i] = known[i] + weight_s * s.flux[i] - right_[i];
      diagonal_[i] = volume_[i] * s.c[i];
    }
    for (std::size_t i = 0; i + 1 < n; ++i) {
      const double g = area_[i + 1] * 0.5 * (s.k[i] + s.k[i + 1]) / (x_[i + 1] - x_[i]);
      side_[i] = compact_[i] - weight_s * g;
      diagonal_[i] -= side_[i];
      diagonal_[i + 1] -= side_[i];
    }
    diagonal_[0] -= edge_[0] + (shape_ == 0.0 ? weight_s * s.a.slope_w_m2k : 0.0);
    diagonal_[n - 1] -= edge_[1] + weight_s * s.b.slope_w_m2k;
    for (std::size_t i = 1; i < n; ++i) {
      const double f = side_[i - 1] / diagonal_[i - 1];
      diagonal_[i] -= f * side_[i - 1];
      right_[i] -= f * right_[i - 1];
    }
    double largest = 0.0;
    for (std::size_t i = n; i-- > 0;) {
      double step = right_[i];
      if (i + 1 < n) step -= side_[i] * right_[i + 1];
      step /= diagonal_[i];
      right_[i] = step;
      t[i] += step;
      largest = std::max(largest, std::fabs(step));
    }
    if (!std::isfinite(largest)) return false;
    if (largest < 1e-6) {
      Evaluate(t, s);
      return true;
    }
  }
  return false;
}

// One TR-BDF2 step from t_ (now_ holds its stage) to t_end_.
bool HeatedPiece::Step(double dt, double& error) {
  static const double kW = std::sqrt(2.0) / 4.0;
  static const double kD = 1.0 - std::sqrt(0.5);
  const std::size_t n = t_.size();
  for (std::size_t i = 0; i + 1 < n; ++i) {
    compact_[i] =
        area_[i + 1] * std::min(now_.c[i] * width_[i], now_.c[i + 1] * width_[i + 1]) / 12.0;
  }
  // The face's share of the correction: s is how firmly it is held (0 insulated, 1 held).
  for (int face = 0; face < 2; ++face) {
    const std::size_t i = face == 0 ? 0 : n - 1;
    const double g = 2.0 * now_.k[i] / width_[i];
    const double s = -(face == 0 ? now_.a : now_.b).slope_w_m2k / g;
    edge_[face] = face == 0 && shape_ > 0.0
                      ? 0.0
                      : now_.c[i] * width_[i] * s * (1.0 / 12.0 + 0.25 * (1.0 - 2.0 * s / 3.0));
  }
  Storage(t_, now_, start_storage_);
  for (std::size_t i = 0; i < n; ++i) known_[i] = start_storage_[i] + kD * dt * now_.flux[i];
  t_mid_ = t_;
  if (!SolveStage(known_, kD * dt, t_mid_, mid_)) return false;
  for (std::size_t i = 0; i < n; ++i) {
    known_[i] = start_storage_[i] + kW * dt * (now_.flux[i] + mid_.flux[i]);
  }
  t_end_ = t_mid_;
  if (!SolveStage(known_, kD * dt, t_end_, end_)) return false;
  error = 0.0;
  for (std::size_t i = 0; i < n; ++i) {
    const double e =
        (4.0 * kW - 1.0) / 3.0 * now_.flux[i] - mid_.flux[i] / 3.0 + 2.0 * kD / 3.0 * end_.flux[i];
    error = std::max(error, std::fabs(dt * e / (volume_[i] * end_.c[i])));
  }
  return std::isfinite(error);
}

void HeatedPiece::Accept(double dt, const HeatingOptions& options) {
  static const double kW = std::sqrt(2.0) / 4.0;
  static const double kD = 1.0 - std::sqrt(0.5);
  const auto sum = [dt](double now, double mid, double end) {
    return dt * (kW * (now + mid) + kD * end);
  };
  double boiled[2] = {0.0, 0.0};
  for (int face = shape_ > 0.0 ? 1 : 0; face < 2; ++face) {
    const auto& p = face == 0 ? now_.a : now_.b;
    const auto& q = face == 0 ? mid_.a : mid_.b;
    const auto& r = face == 0 ? end_.a : end_.b;
    const std::size_t i = face == 0 ? 0 : t_.size() - 1;
    const double extra = edge_[face] * (t_end_[i] - t_[i]);
    summary_.outside_j_m2 += sum(p.outside_w_m2, q.outside_w_m2, r.outside_w_m2);
    const double dried = sum(p.dries_w_m2, q.dries_w_m2, r.dries_w_m2);
    boiled[face] = sum(p.boils_w_m2, q.boils_w_m2, r.boils_w_m2);
    // The correction's heat comes from what would have boiled, or from outside.
    if (r.pinned) {
      boiled[face] -= extra;
    } else {
      summary_.outside_j_m2 += extra;
    }
    summary_.vapour_j_m2 += dried + boiled[face];
    vapour_kg_m2_ += std::max(0.0, dried) / (kLatentSteamKjKg * 1e3);
  }
  t_.swap(t_end_);
  std::swap(now_, end_);
  seconds_ += dt;
  if (options.track) Track(dt);
  for (int face = 0; face < 2; ++face) {
    if (boiled[face] != 0.0) MoveFront(face, boiled[face]);
  }
}

Outcome HeatedPiece::Heat(const Surroundings& a, const Surroundings& b, double seconds,
                          const HeatingOptions& options) {
  if (summary_.outcome != Outcome::kDone) return summary_.outcome;
  RIBWRIGHT_CHECK(seconds >= 0.0 && options.tolerance_k > 0.0);
  around_[0] = a;
  around_[1] = b;
  const double end = seconds_ + seconds;
  double dt = options.fixed_step_s > 0.0 ? options.fixed_step_s : options.first_step_s;
  const auto note = [&] {
    if (!options.record) return;
    history_.push_back({seconds_, Core(), Coldest(), now_.a.front_c, now_.b.front_c});
  };
  Evaluate(t_, now_);
  note();
  while (end - seconds_ > 1e-9) {
    double step = std::min(dt, options.longest_step_s);
    const double left = end - seconds_;
    // No sliver at the end.
    if (step > left * 0.999999) {
      step = left;
    } else if (options.fixed_step_s == 0.0 && step > 0.5 * left) {
      step = 0.5 * left;
    }
    for (int face = 0; face < 2; ++face) {  // the front may cross a fifth of its cell
      const double boils = (face == 0 ? now_.a : now_.b).boils_w_m2;
      if (boils > 0.0 && material_->boil_j_m3() > 0.0) {
        step = std::min(step, 0.2 * cell_m_ * material_->boil_j_m3() / boils);
      }
    }
    double error = 0.0;
    const bool solved = Step(step, error);
    if (options.fixed_step_s > 0.0) {
      if (!solved) return summary_.outcome = Outcome::kNoConvergence;
    } else if (!solved || error > options.tolerance_k) {
      ++summary_.rejected;
      dt = step * (solved ? std::max(0.2, 0.9 * std::cbrt(options.tolerance_k / error)) : 0.25);
      if (dt < 1e-6) return summary_.outcome = Outcome::kNoConvergence;
      continue;
    } else {
      dt = step * std::min(4.0, 0.9 * std::cbrt(options.tolerance_k / std::max(error, 1e-9)));
    }
    Accept(step, options);
    ++summary_.steps;
    summary_.stored_j_m2 = Stored();
    note();
    const auto [low, high] = std::minmax_element(t_.begin(), t_.end());
    if (material_->density_kg_m3() > 0.0 && (*low < kLowestC || *high > kHighestC)) {
      return summary_.outcome = Outcome::kOutOfRange;
    }
  }
  return summary_.outcome;
}

double HeatedPiece::Stored() const {
  double sum = 0.0;
  for (std::size_t i = 0; i < t_.size(); ++i) {
    sum += volume_[i] * (material_->H(t_[i]) - start_enthalpy_);
  }
  return sum;
}

}  // namespace ribwright::cooking
