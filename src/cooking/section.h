// SPDX-License-Identifier: Apache-2.0
// HeatedSection: conduction in the cross-section of a thick, narrow or bone-in piece.
//
// A rectangle width x height of equal cells (cells need not be square), each of one of two
// materials (meat, bone), all four faces in given surroundings. Alternating directions
// (Douglas & Gunn form, douglas-gunn1964, memory): second order in time for constant properties,
// unconditionally stable; properties are read at the start of each step, so that k and c lag by one
// step. Nothing boils here: a searing face is held at 100 deg C. The heat balance closes to the
// splitting and the lag of c (1e-4 of what passes). Range: 4 to 400 cells a side, steps > 0: else
// LogicError. Cost: 60 x 60 cells, 100 steps about 15 ms. Not thread-safe.
#pragma once

#include <array>
#include <vector>

#include "cooking/material.h"
#include "cooking/surface.h"

namespace ribwright::cooking {

enum class Side { kLeft, kRight, kBottom, kTop };

class HeatedSection {
 public:
  // bone: row-major, width * height flags, empty for none; needs a second material.
  HeatedSection(const Material& meat, double width_m, double height_m, int across, int up,
                double start_c, const std::vector<unsigned char>& bone = {},
                const Material* bone_material = nullptr);

  void Heat(const std::array<Surroundings, 4>& sides, double seconds, int steps);

  double T(int i, int j) const { return t_[Index(i, j)]; }
  // Middle of the section, from its four or fewer middle cells.
  double Core() const;
  double Coldest() const;
  double seconds() const { return seconds_; }
  // J per m of length: what came through the faces, and what is stored.
  double InflowJM() const { return inflow_; }
  double StoredJM() const;

 private:
  std::size_t Index(int i, int j) const {
    return static_cast<std::size_t>(j) * static_cast<std::size_t>(across_) +
           static_cast<std::size_t>(i);
  }
  const Material& Of(std::size_t cell) const {
    return bone_.empty() || bone_[cell] == 0 ? *meat_ : *bone_material_;
  }
  void Step(double dt);

  const Material* meat_;
  const Material* bone_material_;
  int across_, up_;
  double dx_, dy_, start_c_;
  double seconds_ = 0.0, inflow_ = 0.0;
  std::vector<unsigned char> bone_;
  std::array<Surroundings, 4> sides_;
  std::vector<double> t_, k_, c_, gx_, gy_, from_x_, from_y_, first_, line_, diagonal_;
};

}  // namespace ribwright::cooking
