// SPDX-License-Identifier: Apache-2.0
// The area inside an outline under the even-odd rule, in square pixels. Rings must not cross each
// other or themselves (they may lie in each other, holes and islands); their direction does not
// matter.
#pragma once

#include "report/photo_report.h"

namespace ribwright::report {

double OutlineArea(const Outline& outline);

}  // namespace ribwright::report
