// SPDX-License-Identifier: Apache-2.0
// Invented reports for tests and documentation: every kind of field filled, none measured on any
// meat.
#pragma once

#include "report/photo_report.h"

namespace ribwright::report {

// A rib face with every part filled.
PhotoReport SampleRib();
// The same without a card: lengths and calibrated colour not known.
PhotoReport SampleWithoutScale();
// As the phantom renderer fills it: exact numbers, no grades or signs.
PhotoReport SampleTruth();
PhotoReport SampleError();

}  // namespace ribwright::report
