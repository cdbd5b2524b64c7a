// SPDX-License-Identifier: Apache-2.0
// The searing front, what is kept per cell, and what is read from a piece.
#include <algorithm>
#include <cmath>

#include "base/check.h"
#include "cooking/conduction.h"
#include "cooking/juice.h"

namespace ribwright::cooking {

void HeatedPiece::StartFrom(const std::vector<double>& t_c) {
  RIBWRIGHT_CHECK(seconds_ == 0.0 && t_c.size() == t_.size());
  t_ = t_c;
  peak_ = t_;
  double heat = 0.0, volume = 0.0;
  for (std::size_t i = 0; i < t_.size(); ++i) {
    heat += volume_[i] * material_->H(t_[i]);
    volume += volume_[i];
  }
  start_enthalpy_ = heat / volume;
}

void HeatedPiece::MoveFront(int face, double heat_j_m2) {
  vapour_kg_m2_ += heat_j_m2 / (kLatentSteamKjKg * 1e3);
  if (shape_ > 0.0 || material_->boil_j_m3() <= 0.0) return;
  owed_j_m2_[face] += heat_j_m2;
  const double depth = owed_j_m2_[face] / material_->boil_j_m3();
  if (depth <= 0.0) return;
  const std::size_t i = face == 0 ? 0 : t_.size() - 1;
  // What turns to crust leaves at 100 deg C; the rest of its cell is that much cooler on average.
  const double before = width_[i] * material_->H(t_[i]);
  const double taken = std::min(depth, 0.4 * width_[i]);
  owed_j_m2_[face] -= taken * material_->boil_j_m3();
  const double boiling = material_->H(kBoilC);
  width_[i] -= taken;
  crust_[face] += taken;
  t_[i] = material_->TemperatureOf((before - taken * boiling) / width_[i], t_[i]);
  summary_.crust_j_m2 += taken * (boiling - start_enthalpy_);
  // The crust's juice is not counted again: all its water went as vapour.
  if (width_[i] < 0.5 * cell_m_ && t_.size() > 8) {
    Merge(face);
  } else {
    Geometry();
  }
  Evaluate(t_, now_);
}

void HeatedPiece::Merge(int face) {
  const std::size_t n = t_.size();
  const std::size_t gone = face == 0 ? 0 : n - 1;
  const std::size_t kept = face == 0 ? 1 : n - 2;
  const double w = width_[gone] + width_[kept];
  const auto blend = [&](double g, double k) { return (width_[gone] * g + width_[kept] * k) / w; };
  const double h = blend(material_->H(t_[gone]), material_->H(t_[kept]));
  t_[kept] = material_->TemperatureOf(h, t_[kept]);
  juice_[kept] = blend(juice_[gone], juice_[kept]);
  myoglobin_[kept] = blend(myoglobin_[gone], myoglobin_[kept]);
  peak_[kept] = blend(peak_[gone], peak_[kept]);
  width_[kept] = w;
  for (auto* v : {&t_, &width_, &peak_, &juice_, &myoglobin_}) {
    v->erase(v->begin() + static_cast<std::ptrdiff_t>(gone));
  }
  Geometry();
}

void HeatedPiece::Track(double dt) {
  const double share = -std::expm1(-dt / kJuiceSeconds);
  for (std::size_t i = 0; i < t_.size(); ++i) {
    // After the swap t_end_ holds the temperatures before the step.
    const double t = 0.5 * (t_[i] + t_end_[i]);
    peak_[i] = std::max(peak_[i], t_[i]);
    if (t < 30.0) continue;  // nothing happens below: e^-5 of the juice, e^-50 of the pigment
    juice_[i] += share * std::max(0.0, JuiceInTheEnd(t, material_->water()) - juice_[i]);
    myoglobin_[i] *= std::exp(-dt * MyoglobinRate(t));
  }
}

double HeatedPiece::At(double x_m) const {
  const std::size_t n = t_.size();
  if (shape_ > 0.0 && x_m == 0.0) {
    // Even in x: a parabola in x^2 through the first two cells.
    const double a = x_[0] * x_[0], b = x_[1] * x_[1];
    return t_[0] + (t_[0] - t_[1]) * a / (b - a);
  }
  const auto above = std::upper_bound(x_.begin(), x_.end(), x_m);
  const auto i = static_cast<std::size_t>(above - x_.begin());
  const std::size_t first = std::clamp<std::size_t>(i, 2, n - 2) - 2;
  double sum = 0.0;
  for (std::size_t j = first; j < first + 4; ++j) {
    double weight = 1.0;
    for (std::size_t m = first; m < first + 4; ++m) {
      if (m != j) weight *= (x_m - x_[m]) / (x_[j] - x_[m]);
    }
    sum += weight * t_[j];
  }
  return sum;
}

double HeatedPiece::Coldest() const { return *std::min_element(t_.begin(), t_.end()); }

double HeatedPiece::Mean() const {
  double heat = 0.0, volume = 0.0;
  for (std::size_t i = 0; i < t_.size(); ++i) {
    heat += volume_[i] * material_->H(t_[i]);
    volume += volume_[i];
  }
  // A cell's mean differs from its middle by width^2/24 of the curvature, which sums to the slopes
  // at the faces.
  for (int face = shape_ > 0.0 ? 1 : 0; face < 2 && !now_.k.empty(); ++face) {
    const std::size_t i = face == 0 ? 0 : t_.size() - 1;
    const double inflow = (face == 0 ? now_.a : now_.b).meat_w_m2;
    if (now_.k[i] > 0.0) heat += width_[i] * width_[i] / 24.0 * now_.c[i] / now_.k[i] * inflow;
  }
  return material_->TemperatureOf(heat / volume, t_[t_.size() / 2]);
}

double HeatedPiece::JuiceKgM2() const {
  double sum = 0.0;
  for (std::size_t i = 0; i < t_.size(); ++i) {
    sum += juice_[i] * width_[i] * material_->density_kg_m3();
  }
  return sum;
}

std::vector<HeatedPiece::Cell> HeatedPiece::Cells() const {
  std::vector<Cell> cells;
  cells.reserve(t_.size());
  for (std::size_t i = 0; i < t_.size(); ++i) {
    cells.push_back({x_[i], width_[i], t_[i], peak_[i], juice_[i], myoglobin_[i]});
  }
  return cells;
}

}  // namespace ribwright::cooking
