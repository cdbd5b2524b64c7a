// SPDX-License-Identifier: Apache-2.0
// A comparison in sentences: which face is more marbled and with what odds, what drives it, which
// muscles differ and which show no clear difference, then cover and colour.
#pragma once

#include <string>
#include <vector>

#include "programme/compare.h"

namespace ribwright::programme {

std::vector<std::string> ComparisonWords(const Comparison& comparison, units::System units);

}  // namespace ribwright::programme
