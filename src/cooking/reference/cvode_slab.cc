// SPDX-License-Identifier: Apache-2.0
#include "cooking/reference/cvode_slab.h"

#include <cvode/cvode.h>
#include <nvector/nvector_serial.h>
#include <sundials/sundials_context.h>
#include <sunlinsol/sunlinsol_band.h>
#include <sunmatrix/sunmatrix_band.h>

namespace ribwright::cooking {
namespace {

struct Problem {
  const Material* material;
  double cell_m;
  Surroundings a, b;
};

int Rate(realtype, N_Vector y, N_Vector out, void* data) {
  const auto& p = *static_cast<Problem*>(data);
  const auto n = static_cast<int>(N_VGetLength(y));
  const double* t = N_VGetArrayPointer(y);
  double* rate = N_VGetArrayPointer(out);
  double k = p.material->K(t[0]);
  double inflow = SolveSurface(p.a, t[0], 2.0 * k / p.cell_m, 0.0).meat_w_m2;
  for (int i = 0; i < n; ++i) {
    double leaving;
    double next = k;
    if (i + 1 < n) {
      next = p.material->K(t[i + 1]);
      leaving = 0.5 * (k + next) / p.cell_m * (t[i] - t[i + 1]);
    } else {
      leaving = -SolveSurface(p.b, t[i], 2.0 * k / p.cell_m, 0.0).meat_w_m2;
    }
    rate[i] = (inflow - leaving) / (p.material->C(t[i]) * p.cell_m);
    inflow = leaving;
    k = next;
  }
  return 0;
}

}  // namespace

ReferenceRun RunByCvode(const Material& material, double thickness_m, int cells, double start_c,
                        const std::vector<ReferenceStage>& stages, double relative,
                        double absolute_k) {
  ReferenceRun run;
  Problem problem{&material, thickness_m / cells, {}, {}};
  SUNContext context = nullptr;
  if (SUNContext_Create(nullptr, &context) != 0) return run;
  N_Vector y = N_VNew_Serial(cells, context);
  N_VConst(start_c, y);
  void* solver = CVodeCreate(CV_BDF, context);
  SUNMatrix matrix = SUNBandMatrix(cells, 1, 1, context);
  SUNLinearSolver linear = SUNLinSol_Band(y, matrix, context);
  bool good = CVodeInit(solver, Rate, 0.0, y) == 0 &&
              CVodeSStolerances(solver, relative, absolute_k) == 0 &&
              CVodeSetUserData(solver, &problem) == 0 && CVodeSetMaxNumSteps(solver, 100000) == 0 &&
              CVodeSetLinearSolver(solver, linear, matrix) == 0;
  double now = 0.0;
  for (const ReferenceStage& stage : stages) {
    if (!good) break;
    problem.a = stage.a;
    problem.b = stage.b;
    // A jump of the surroundings: start anew, and do not look past the stage's end.
    good = CVodeReInit(solver, now, y) == 0 && CVodeSetStopTime(solver, now + stage.seconds) == 0;
    double reached = now;
    while (good && reached < now + stage.seconds * (1.0 - 1e-12)) {
      good = CVode(solver, now + stage.seconds, y, &reached, CV_NORMAL) >= 0;
    }
    long steps = 0;
    CVodeGetNumSteps(solver, &steps);
    run.steps += steps;
    now += stage.seconds;
  }
  if (good) {
    run.done = true;
    run.cells_c.assign(N_VGetArrayPointer(y), N_VGetArrayPointer(y) + cells);
    const auto m = static_cast<std::size_t>(cells / 2);
    const auto& t = run.cells_c;
    run.core_c = (9.0 * (t[m - 1] + t[m]) - t[m - 2] - t[m + 1]) / 16.0;
  }
  SUNLinSolFree(linear);
  SUNMatDestroy(matrix);
  CVodeFree(&solver);
  N_VDestroy(y);
  SUNContext_Free(&context);
  return run;
}

}  // namespace ribwright::cooking
