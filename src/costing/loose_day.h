// SPDX-License-Identifier: Apache-2.0
// A day as lists write it: three whole numbers in the stated order, any one mark between them.
#pragma once

#include <optional>
#include <string_view>

#include "units/utc_time.h"

namespace ribwright::costing {

enum class DayOrder { kYmd, kDmy, kMdy };

std::optional<units::Day> LooseDay(std::string_view text, DayOrder order);

}  // namespace ribwright::costing
