// SPDX-License-Identifier: Apache-2.0
// Joint cost: one purchase shared over all products that came from it, in whole cents.
//
// Two keys, both shown, since each answers another question: by weight (every gram costs the same)
// and by sales value (every product keeps the same margin). Shares sum to the total exactly
// (units::SplitMoney). Sales value = mass x price per kg, rounded to the smallest unit of money
// first. Errors: kDataUnusable (no products, nothing weighs or sells), kCurrencyMixed.
#pragma once

#include <string>
#include <vector>

#include "base/result.h"
#include "units/mass.h"
#include "units/money.h"

namespace ribwright::costing {

struct JointProduct {
  std::string name;
  units::Mass mass;
  double sells_per_kg = 0.0;  // currency units
};

struct JointShare {
  std::string name;
  units::Money sales_value;
  units::Money by_weight;
  units::Money by_value;
};

Result<std::vector<JointShare>> ShareJointCost(const units::Money& total,
                                               const std::vector<JointProduct>& products);

}  // namespace ribwright::costing
