// SPDX-License-Identifier: Apache-2.0
// Puts the intervals that were fitted on phantoms on every number of a face (interval_spread.h).
// Numbers without a fit keep the stage's assumed spread and say so.
#pragma once

#include "face/interval_causes.h"
#include "report/photo_report.h"

namespace ribwright::face {

// The eye is the first of the longissimus and the gluteus medius, else the first muscle; other
// muscles take the cap's spread. Cover whose chine end is not known keeps its own, wider interval.
void FitIntervals(report::Face& face, const SpreadCauses& causes);

}  // namespace ribwright::face
