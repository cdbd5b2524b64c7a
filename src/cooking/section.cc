// SPDX-License-Identifier: Apache-2.0
#include "cooking/section.h"

#include <algorithm>
#include <cmath>

#include "base/check.h"

namespace ribwright::cooking {
namespace {

// Held at the boiling point where it sears and would pass it.
SurfaceHeat Face(const Surroundings& around, double cell_c, double conductance) {
  return SolveSurface(around, cell_c, conductance, 0.0);
}

}  // namespace

HeatedSection::HeatedSection(const Material& meat, double width_m, double height_m, int across,
                             int up, double start_c, const std::vector<unsigned char>& bone,
                             const Material* bone_material)
    : meat_(&meat),
      bone_material_(bone_material),
      across_(across),
      up_(up),
      dx_(width_m / across),
      dy_(height_m / up),
      start_c_(start_c),
      bone_(bone) {
  RIBWRIGHT_CHECK(across >= 4 && across <= 400 && up >= 4 && up <= 400);
  RIBWRIGHT_CHECK(width_m > 0.0 && height_m > 0.0 && std::isfinite(start_c));
  const auto cells = static_cast<std::size_t>(across) * static_cast<std::size_t>(up);
  RIBWRIGHT_CHECK(bone.empty() || (bone.size() == cells && bone_material != nullptr));
  t_.assign(cells, start_c);
  for (auto* v : {&k_, &c_, &gx_, &gy_, &from_x_, &from_y_, &first_}) v->resize(cells);
  line_.resize(static_cast<std::size_t>(std::max(across, up)));
  diagonal_.resize(line_.size());
}

void HeatedSection::Heat(const std::array<Surroundings, 4>& sides, double seconds, int steps) {
  RIBWRIGHT_CHECK(seconds > 0.0 && steps > 0);
  sides_ = sides;
  for (int i = 0; i < steps; ++i) Step(seconds / steps);
}

// Douglas-Gunn: (C/dt - Ax/2) d1 = (Ax + Ay) T; (C/dt - Ay/2) d = C/dt d1; T += d.
void HeatedSection::Step(double dt) {
  const int nx = across_, ny = up_;
  for (std::size_t p = 0; p < t_.size(); ++p) {
    const Material& m = Of(p);
    k_[p] = m.K(t_[p]);
    c_[p] = m.C(t_[p]) * dx_ * dy_;
  }
  const auto between = [](double a, double b) { return 2.0 * a * b / (a + b); };
  for (int j = 0; j < ny; ++j) {
    for (int i = 0; i < nx; ++i) {
      const std::size_t p = Index(i, j);
      gx_[p] = i + 1 < nx ? between(k_[p], k_[p + 1]) * dy_ / dx_ : 0.0;
      const std::size_t above = p + static_cast<std::size_t>(nx);
      gy_[p] = j + 1 < ny ? between(k_[p], k_[above]) * dx_ / dy_ : 0.0;
    }
  }
  // Sources of the faces and their slopes: from_x_ and from_y_ hold minus the slope.
  std::fill(from_x_.begin(), from_x_.end(), 0.0);
  std::fill(from_y_.begin(), from_y_.end(), 0.0);
  std::fill(first_.begin(), first_.end(), 0.0);
  double rate = 0.0;
  const auto face = [&](Side side, std::size_t p, double half, double length,
                        std::vector<double>& slopes) {
    const SurfaceHeat s = Face(sides_[static_cast<std::size_t>(side)], t_[p], k_[p] / half);
    first_[p] += s.meat_w_m2 * length;
    slopes[p] -= s.slope_w_m2k * length;
    rate += s.meat_w_m2 * length;
  };
  for (int j = 0; j < ny; ++j) {
    face(Side::kLeft, Index(0, j), 0.5 * dx_, dy_, from_x_);
    face(Side::kRight, Index(nx - 1, j), 0.5 * dx_, dy_, from_x_);
  }
  for (int i = 0; i < nx; ++i) {
    face(Side::kBottom, Index(i, 0), 0.5 * dy_, dx_, from_y_);
    face(Side::kTop, Index(i, ny - 1), 0.5 * dy_, dx_, from_y_);
  }
  inflow_ += rate * dt;
  for (int j = 0; j < ny; ++j) {
    for (int i = 0; i < nx; ++i) {
      const std::size_t p = Index(i, j);
      const std::size_t above = p + static_cast<std::size_t>(nx);
      if (i + 1 < nx) {
        const double q = gx_[p] * (t_[p + 1] - t_[p]);
        first_[p] += q;
        first_[p + 1] -= q;
      }
      if (j + 1 < ny) {
        const double q = gy_[p] * (t_[above] - t_[p]);
        first_[p] += q;
        first_[above] -= q;
      }
    }
  }
  const auto sweep = [&](int count, std::size_t start, std::size_t stride,
                         const std::vector<double>& g, const std::vector<double>& held,
                         bool scaled) {
    double before = 0.0, last = 0.0, last_right = 0.0;
    for (int n = 0; n < count; ++n) {
      const std::size_t p = start + static_cast<std::size_t>(n) * stride;
      const double mass = c_[p] / dt;
      double d = mass + 0.5 * (g[p] + before + held[p]);
      double right = scaled ? mass * first_[p] : first_[p];
      if (n > 0) {
        const double f = -0.5 * before / last;
        d += f * 0.5 * before;
        right -= f * last_right;
      }
      diagonal_[static_cast<std::size_t>(n)] = d;
      line_[static_cast<std::size_t>(n)] = right;
      last = d;
      last_right = right;
      before = g[p];
    }
    for (int n = count - 1; n >= 0; --n) {
      const std::size_t p = start + static_cast<std::size_t>(n) * stride;
      double right = line_[static_cast<std::size_t>(n)];
      if (n + 1 < count) right += 0.5 * g[p] * first_[p + stride];
      first_[p] = right / diagonal_[static_cast<std::size_t>(n)];
    }
  };
  for (int j = 0; j < ny; ++j) sweep(nx, Index(0, j), 1, gx_, from_x_, false);
  for (int i = 0; i < nx; ++i) {
    sweep(ny, Index(i, 0), static_cast<std::size_t>(nx), gy_, from_y_, true);
  }
  // What the faces gave over the step, with the change of the cell beside them.
  for (std::size_t p = 0; p < t_.size(); ++p) {
    inflow_ -= 0.5 * dt * (from_x_[p] + from_y_[p]) * first_[p];
    t_[p] += first_[p];
  }
  seconds_ += dt;
}

double HeatedSection::Core() const {
  const int i0 = (across_ - 1) / 2, i1 = across_ / 2;
  const int j0 = (up_ - 1) / 2, j1 = up_ / 2;
  return 0.25 * (T(i0, j0) + T(i1, j0) + T(i0, j1) + T(i1, j1));
}

double HeatedSection::Coldest() const { return *std::min_element(t_.begin(), t_.end()); }

double HeatedSection::StoredJM() const {
  double sum = 0.0;
  for (std::size_t p = 0; p < t_.size(); ++p) {
    sum += (Of(p).H(t_[p]) - Of(p).H(start_c_)) * dx_ * dy_;
  }
  return sum;
}

}  // namespace ribwright::cooking
