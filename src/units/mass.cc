// SPDX-License-Identifier: Apache-2.0
#include "units/mass.h"

#include <fmt/format.h>

namespace ribwright::units {

std::string GramsText(Mass mass) {
  const std::int64_t mg = mass.milligrams();
  const auto size = mg < 0 ? 0U - static_cast<std::uint64_t>(mg) : static_cast<std::uint64_t>(mg);
  std::string decimals;
  if (size % 1000U != 0) {
    decimals = fmt::format(".{:03}", size % 1000U);
    decimals.erase(decimals.find_last_not_of('0') + 1);
  }
  return fmt::format("{}{}{} g", mg < 0 ? "-" : "", size / 1000U, decimals);
}

}  // namespace ribwright::units
