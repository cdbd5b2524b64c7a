// SPDX-License-Identifier: Apache-2.0
// The solver against SUNDIALS CVODE on the same steak; skipped where that is not installed.
#include <gtest/gtest.h>

#include "cooking/conduction.h"
#ifdef RIBWRIGHT_CVODE
#include "cooking/reference/cvode_slab.h"
#endif

namespace ribwright::cooking {
namespace {

TEST(Conduction, AgreesWithAnIndependentIntegratorThroughFlipsAndRest) {
#ifndef RIBWRIGHT_CVODE
  GTEST_SKIP() << "libsundials-dev is not installed";
#else
  const Material beef = *Material::Of(*CompositionFromFat(12.0));
  const auto hot = Surroundings::Fluid(150.0, 95.0);
  const Surroundings air{15.0, 22.0, false, 0.3, VapourOfAir(22.0, 0.5)};
  const std::vector<ReferenceStage> stages{
      {hot, air, 200.0}, {air, hot, 200.0}, {hot, air, 100.0}, {air, air, 300.0}};
  const double thickness = 0.03;
  // A grid so fine that its own error is a thousandth of a kelvin, and tight tolerances.
  const ReferenceRun fine = RunByCvode(beef, thickness, 480, 5.0, stages, 1e-8, 1e-8);
  ASSERT_TRUE(fine.done);
  HeatedPiece piece(beef, thickness, 30, 5.0);
  HeatingOptions options;
  options.tolerance_k = 0.005;
  for (const ReferenceStage& stage : stages) {
    piece.Heat(stage.a, stage.b, stage.seconds, options);
  }
  EXPECT_NEAR(piece.Core(), fine.core_c, 0.02);
  const double cell = thickness / 480;
  for (const int i : {60, 120, 360, 420}) {
    EXPECT_NEAR(piece.At((i + 0.5) * cell), fine.cells_c[static_cast<std::size_t>(i)], 0.02) << i;
  }
#endif
}

}  // namespace
}  // namespace ribwright::cooking
