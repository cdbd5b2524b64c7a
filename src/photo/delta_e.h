// SPDX-License-Identifier: Apache-2.0
// CIEDE2000 colour difference (CIE 142; the reading of Sharma, Wu & Dalal, "The CIEDE2000
// color-difference formula: implementation notes, supplementary test data, and mathematical
// observations", Color Research and Application 30 (2005) 21-30, doi 10.1002/col.20070), with kL =
// kC = kH = 1. 1 is about the least difference seen side by side; the formula is meant for
// differences under 5. Its hue terms jump where the two hues lie 180 degrees apart: tiny changes
// then move the result by up to 1 %. Symmetric, zero only for equal colours, finite for finite
// input. No unit.
#pragma once

#include "photo/srgb.h"

namespace ribwright::photo {

double DeltaE2000(const LabColour& first, const LabColour& second);

}  // namespace ribwright::photo
