// SPDX-License-Identifier: Apache-2.0
// HeatedPiece: transient heat in one dimension through a piece that is turned, rested and seared.
//
//   d/dt of enthalpy H(T) = 1/x^b d/dx (x^b k(T) dT/dx)
// b = 0: a slab with two faces, x from face a to face b. b > 0: a body whose middle is at x = 0 and
// whose one face is b (1 cylinder, 2 sphere, between: shapes of tabulated times); face a is
// ignored.
//
// Method: finite volumes with a compact correction that makes a uniform slab third order in space
// from a smooth profile (a sudden start costs width^2 / (24 alpha), 0.3 s at 1 mm), second order
// elsewhere; in time
// TR-BDF2 (bank1985, memory), second order and L-stable, its step held by the embedded third-order
// estimate; each stage solved by Newton to 1e-6 K. Enthalpy is the stored quantity, so the balance
// closes to the Newton residue whatever k and c do. A searing face holds its wet front at 100 deg
// C; the front eats into the first cell (slabs only), which joins its neighbour when half is gone.
// Crust above 100 deg C stores no heat (it is some 2 mm: under 1 % of what passes).
//
// Also kept per cell: peak temperature, share of juice let go, share of myoglobin denatured
// (juice.h). Range: thickness from 2 mm, 8 to 4000 cells, -40 to 150 deg C of meat: else
// LogicError, or Outcome::kOutOfRange for what happens while it runs. Cost: some 3 microseconds a
// step at 40 cells, some 100 steps a cook. Not thread-safe; copies are independent.
#pragma once

#include <vector>

#include "cooking/material.h"
#include "cooking/surface.h"

namespace ribwright::cooking {

enum class Outcome { kDone, kOutOfRange, kNoConvergence };

struct HeatingOptions {
  double tolerance_k = 0.01;  // of each step
  double first_step_s = 0.25;
  double longest_step_s = 120.0;
  double fixed_step_s = 0.0;  // > 0: no step control, for tests of order
  bool track = true;          // peak, juice, myoglobin
  bool record = false;        // History()
};

// Sums since the start. Heat in J per m2 of face (of the face at the rim for b > 0).
struct HeatingSummary {
  Outcome outcome = Outcome::kDone;
  int steps = 0;
  int rejected = 0;
  int iterations = 0;
  double outside_j_m2 = 0.0;  // from the surroundings
  double stored_j_m2 = 0.0;   // gained by the wet meat that is left
  double vapour_j_m2 = 0.0;   // spent on boiling and drying
  double crust_j_m2 = 0.0;    // enthalpy of meat that became crust, over its start
  double Residual() const { return outside_j_m2 - stored_j_m2 - vapour_j_m2 - crust_j_m2; }
};

struct Sample {
  double seconds, core_c, coldest_c, face_a_c, face_b_c;
};

class HeatedPiece {
 public:
  HeatedPiece(const Material& material, double thickness_m, int cells, double start_c,
              double shape = 0.0);

  // Other than even temperatures to start from, one a cell; before the first Heat.
  void StartFrom(const std::vector<double>& t_c);

  // Face a and b meet these surroundings for so long. The outcome stays bad once it is.
  Outcome Heat(const Surroundings& a, const Surroundings& b, double seconds,
               const HeatingOptions& options = {});

  double seconds() const { return seconds_; }
  const HeatingSummary& summary() const { return summary_; }
  const std::vector<Sample>& history() const { return history_; }

  // Middle of the original thickness (slab) or x = 0.
  double Core() const { return At(shape_ > 0.0 ? 0.0 : 0.5 * thickness_m_); }
  // At a depth from face a of the original piece (slab), or a radius; cubic between cells.
  double At(double x_m) const;
  double Coldest() const;
  double Mean() const;  // by enthalpy: the temperature after perfect evening out
  double CrustA() const { return crust_[0]; }
  double CrustB() const { return crust_[1]; }
  double thickness_m() const { return thickness_m_; }

  // Cells from face a to b: middle, width, temperature and what was kept.
  struct Cell {
    double x_m, width_m, t_c, peak_c, juice, myoglobin;
  };
  std::vector<Cell> Cells() const;
  // Mass lost per m2 of face: as vapour, as juice; and the piece's start, kg/m2. Slabs only.
  double VapourKgM2() const { return vapour_kg_m2_; }
  double JuiceKgM2() const;
  double StartKgM2() const { return material_->density_kg_m3() * thickness_m_; }

 private:
  struct Stage {
    std::vector<double> k, c, h, flux;  // per cell; flux: net heat into the cell, W
    SurfaceHeat a, b;
  };
  void Evaluate(const std::vector<double>& t, Stage& stage) const;
  void Geometry();
  double Stored() const;
  bool SolveStage(const std::vector<double>& known, double weight_s, std::vector<double>& t,
                  Stage& stage);
  void Storage(const std::vector<double>& t, const Stage& stage, std::vector<double>& out) const;
  bool Step(double dt, double& error);
  void Accept(double dt, const HeatingOptions& options);
  void MoveFront(int face, double heat_j_m2);
  void Merge(int face);
  void Track(double dt);

  const Material* material_;
  double thickness_m_;
  double shape_;
  double cell_m_;
  double seconds_ = 0.0;
  double start_enthalpy_ = 0.0;
  std::vector<double> t_, width_, x_, volume_, area_, peak_, juice_, myoglobin_;
  double vapour_kg_m2_ = 0.0;
  double crust_[2] = {0.0, 0.0};
  double owed_j_m2_[2] = {0.0, 0.0};
  Surroundings around_[2];
  HeatingSummary summary_;
  std::vector<Sample> history_;
  // Work space of a step.
  Stage now_, mid_, end_;
  std::vector<double> t_mid_, t_end_, known_, start_storage_, compact_, diagonal_, side_, right_;
  double edge_[2] = {0.0, 0.0};
};

}  // namespace ribwright::cooking
