// SPDX-License-Identifier: Apache-2.0
// The 90 % interval of a judged number from what the judge knows about the photo, as fitted on
// phantoms whose truth is known.
//
//   s = exp(b . causes),  [low, high] = [seen - above * s, seen - below * s],
//   value = seen - middle * s, within the interval
//
// where `seen` is what was measured. `middle`, the bias, is other than 0 only where taking it off
// lowered the error on phantoms that the fit had not seen. b, below, above and middle stand in
// interval_spread_fitted.h, which `bench/fit_intervals --write` makes anew from work seeds (never
// those of the bench); docs/science/intervals.md says how. They hold for the revision of the method
// that the file names: a changed method needs a new fit. An interval ends where the quantity does
// (no share under 0 or over 100 %) and always holds its own value. Pure functions, thread-safe.
#pragma once

#include <string>

#include "face/interval_causes.h"
#include "report/photo_report.h"
#include "units/measured.h"

namespace ribwright::face {

// The value with its fitted interval; `assumed`, unchanged, where no fit exists (too few cases).
// Unknown stays unknown. A muscle that is neither eye nor cap takes the cap's.
Measured WithFittedInterval(SpreadOf what, const Measured& assumed, const SpreadCauses& causes);

// What was measured, from a value that WithFittedInterval gave; for fitting anew.
double BeforeFit(SpreadOf what, double value, const SpreadCauses& causes);

// Every number of a whole face that has a fit; the ratio of fat to lean follows the fat share. For
// faces on some ground: photos of nothing but meat were never fitted.
void FitFaceIntervals(report::Face& face, const SpreadCauses& causes);

}  // namespace ribwright::face
