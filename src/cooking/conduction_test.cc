// SPDX-License-Identifier: Apache-2.0
#include "cooking/conduction.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>

#include "base/check.h"
#include "cooking/series.h"

namespace ribwright::cooking {
namespace {

constexpr double kK = 0.48, kC = 3.6e6;
constexpr double kAlpha = kK / kC;

double ShapeOf(Body body) {
  return body == Body::kSlab ? 0.0 : body == Body::kCylinder ? 1.0 : 2.0;
}

// Worst error at middle, quarter and mean of a body 5 -> 100 deg C against the exact series over
// Fo 0.1 to 2.
double WorstError(Body body, double biot, double half_m, int cells_per_half,
                  double tolerance_k = 1e-3) {
  const Material m = Material::Constant(kK, kC);
  const double env = 100.0, start = 5.0;
  const bool slab = body == Body::kSlab;
  HeatedPiece piece(m, slab ? 2.0 * half_m : half_m, slab ? 2 * cells_per_half : cells_per_half,
                    start, ShapeOf(body));
  const Surroundings around =
      std::isinf(biot) ? Surroundings::Held(env) : Surroundings::Fluid(biot * kK / half_m, env);
  const Series series(body, biot);
  HeatingOptions options;
  options.tolerance_k = tolerance_k;
  double worst = 0.0, last = 0.0;
  for (const double fo : {0.1, 0.2, 0.35, 0.5, 0.75, 1.0, 1.5, 2.0}) {
    EXPECT_EQ(piece.Heat(around, around, (fo - last) * half_m * half_m / kAlpha, options),
              Outcome::kDone);
    last = fo;
    const auto exact = [&](double theta) { return env + (start - env) * theta; };
    const double off = 0.75 * half_m;
    worst = std::max(worst, std::fabs(piece.Core() - exact(series.Theta(0, fo))));
    worst = std::max(
        worst, std::fabs(piece.At(slab ? half_m + off : off) - exact(series.Theta(0.75, fo))));
    worst = std::max(worst, std::fabs(piece.Mean() - exact(series.Mean(fo))));
  }
  return worst;
}

TEST(Conduction, MeetsTheExactSeriesAtOneMillimetre) {
  for (const double biot :
       {0.1, 0.3, 1.0, 3.0, 10.0, 50.0, std::numeric_limits<double>::infinity()}) {
    for (const double half_mm : {15.0, 20.0, 40.0}) {
      EXPECT_LE(WorstError(Body::kSlab, biot, half_mm * 1e-3, static_cast<int>(half_mm)), 0.05)
          << "slab, Bi " << biot << ", " << half_mm << " mm";
    }
    for (const double radius_mm : {30.0, 60.0}) {
      for (const Body body : {Body::kCylinder, Body::kSphere}) {
        EXPECT_LE(WorstError(body, biot, radius_mm * 1e-3, static_cast<int>(radius_mm)), 0.05)
            << "body " << static_cast<int>(body) << ", Bi " << biot << ", " << radius_mm << " mm";
      }
    }
  }
}

// The first mode of a body decays at its exact rate: no jump at the start to blur the order.
double ModeError(Body body, double biot, int cells_per_half) {
  const double half = 0.02;
  const Material m = Material::Constant(kK, kC);
  const Term mode = Series(body, biot).OneTerm();
  const bool slab = body == Body::kSlab;
  HeatedPiece piece(m, slab ? 2.0 * half : half, slab ? 2 * cells_per_half : cells_per_half, 0.0,
                    ShapeOf(body));
  std::vector<double> start;
  for (const auto& cell : piece.Cells()) {
    const double z = mode.zeta * std::fabs(cell.x_m - (slab ? half : 0.0)) / half;
    start.push_back(100.0 * (slab                      ? std::cos(z)
                             : body == Body::kCylinder ? std::cyl_bessel_j(0.0, z)
                                                       : std::sin(z) / z));
  }
  piece.StartFrom(start);
  const Surroundings around = Surroundings::Fluid(biot * kK / half, 0.0);
  HeatingOptions options;
  options.tolerance_k = 1e-6;
  piece.Heat(around, around, 0.3 * half * half / kAlpha, options);
  return std::fabs(piece.Core() - 100.0 * std::exp(-0.3 * mode.zeta * mode.zeta));
}

TEST(Conduction, IsOfSecondOrderInSpaceOrBetter) {
  for (const double biot : {0.3, 1.0, 10.0, 100.0}) {
    for (const Body body : {Body::kSlab, Body::kCylinder, Body::kSphere}) {
      const double coarse = ModeError(body, biot, 10), fine = ModeError(body, biot, 20);
      // Below 5e-5 K of 100 K the time steps show, not the grid.
      if (coarse > 5e-5) {
        EXPECT_GE(std::log2(coarse / fine), 1.9) << static_cast<int>(body) << " Bi " << biot;
      }
      EXPECT_LE(coarse, body == Body::kSlab ? 1e-3 : 0.5) << static_cast<int>(body) << biot;
    }
  }
}

TEST(Conduction, IsOfSecondOrderInTime) {
  // From a smooth profile; properties vary with temperature.
  const Material beef = *Material::Of(*CompositionFromFat(10.0));
  HeatedPiece warm(beef, 0.03, 30, 5.0);
  const auto around = Surroundings::Fluid(200.0, 70.0);
  warm.Heat(around, around, 120.0);
  double core[3];
  for (int i = 0; i < 3; ++i) {
    HeatedPiece piece = warm;
    HeatingOptions options;
    options.fixed_step_s = 40.0 / (1 << i);
    ASSERT_EQ(piece.Heat(around, around, 240.0, options), Outcome::kDone);
    core[i] = piece.Core();
  }
  EXPECT_GE(std::log2(std::fabs((core[0] - core[1]) / (core[1] - core[2]))), 1.9);
}

Material Beef() { return *Material::Of(*CompositionFromFat(10.0)); }

TEST(Conduction, TheBalanceClosesThroughSearFlipsAndRest) {
  const Material beef = Beef();
  HeatedPiece piece(beef, 0.035, 35, 5.0);
  const auto pan = Surroundings::Hot(450.0, 220.0);
  const Surroundings air{15.0, 22.0, false, 0.3, VapourOfAir(22.0, 0.5)};
  for (int i = 0; i < 4; ++i) {
    ASSERT_EQ(piece.Heat(i % 2 == 0 ? pan : air, i % 2 == 0 ? air : pan, 120.0), Outcome::kDone);
  }
  ASSERT_EQ(piece.Heat(air, air, 300.0), Outcome::kDone);
  const HeatingSummary& s = piece.summary();
  EXPECT_GT(s.vapour_j_m2, 1e5);
  EXPECT_LT(std::fabs(s.Residual()), 1e-5 * s.outside_j_m2);
  EXPECT_GT(piece.CrustA(), 1e-4);
  EXPECT_LT(piece.CrustA(), 4e-3);
  double width = piece.CrustA() + piece.CrustB();
  for (const auto& cell : piece.Cells()) {
    width += cell.width_m;
    EXPECT_LE(cell.peak_c, kBoilC + 0.5);
  }
  EXPECT_NEAR(width, 0.035, 1e-12);
}

TEST(Conduction, MirroredFacesGiveAMirroredPiece) {
  const Material beef = Beef();
  HeatedPiece left(beef, 0.03, 30, 5.0), right(beef, 0.03, 30, 5.0);
  const auto pan = Surroundings::Hot(450.0, 220.0);
  const auto air = Surroundings::Fluid(15.0, 22.0);
  left.Heat(pan, air, 200.0);
  right.Heat(air, pan, 200.0);
  const auto l = left.Cells(), r = right.Cells();
  ASSERT_EQ(l.size(), r.size());
  for (std::size_t i = 0; i < l.size(); ++i) {
    EXPECT_NEAR(l[i].t_c, r[r.size() - 1 - i].t_c, 1e-6);
  }
}

TEST(Conduction, AFinerGridAndStepChangeASearedCoreLittle) {
  const Material beef = Beef();
  double core[2];
  for (int fine = 0; fine < 2; ++fine) {
    HeatedPiece piece(beef, 0.03, fine ? 120 : 30, 5.0);
    HeatingOptions options;
    if (fine) options.tolerance_k = 1e-3;
    const auto pan = Surroundings::Hot(450.0, 220.0);
    const auto air = Surroundings::Fluid(15.0, 22.0);
    piece.Heat(pan, air, 240.0, options);
    piece.Heat(air, pan, 240.0, options);
    piece.Heat(air, air, 180.0, options);
    core[fine] = piece.Core();
  }
  EXPECT_NEAR(core[0], core[1], 0.15);
}

TEST(Conduction, FrozenMeatThawsThroughItsRange) {
  const Material beef = Beef();
  HeatedPiece piece(beef, 0.025, 25, -18.0);
  const auto bath = Surroundings::Fluid(95.0, 55.0);
  ASSERT_EQ(piece.Heat(bath, bath, 3600.0 * 3), Outcome::kDone);
  EXPECT_NEAR(piece.Core(), 55.0, 0.5);
  EXPECT_LT(std::fabs(piece.summary().Residual()), 1e-5 * piece.summary().outside_j_m2);
}

TEST(Conduction, RefusesNonsense) {
  const Material beef = Beef();
  EXPECT_THROW(HeatedPiece(beef, 0.0, 30, 5.0), LogicError);
  HeatedPiece piece(beef, 0.03, 30, 5.0);
  EXPECT_EQ(piece.Heat(Surroundings::Held(300.0), Surroundings::Insulated(), 60.0),
            Outcome::kOutOfRange);
}

}  // namespace
}  // namespace ribwright::cooking
