// SPDX-License-Identifier: Apache-2.0
#include "costing/joint_cost.h"

#include <cmath>

#include "costing/amount.h"

namespace ribwright::costing {

Result<std::vector<JointShare>> ShareJointCost(const units::Money& total,
                                               const std::vector<JointProduct>& products) {
  const auto refuse = [](std::string message, std::string where) {
    return Fail(Code::kDataUnusable, std::move(message), std::move(where),
                "Give each product a mass of 0 g or more and a price of 0 or more per kg.");
  };
  std::vector<std::int64_t> masses;
  std::vector<std::int64_t> values;
  std::int64_t mass_sum = 0;
  std::int64_t value_sum = 0;
  std::vector<JointShare> shares;
  for (const JointProduct& product : products) {
    if (product.mass < units::Mass() || product.mass > units::Mass::FromKilograms(1e6) ||
        !std::isfinite(product.sells_per_kg) || product.sells_per_kg < 0.0 ||
        product.sells_per_kg >= 1e6) {
      return refuse("A product's mass or price cannot be used.", product.name);
    }
    const units::Money value =
        RoundToMoney(product.mass.grams() / 1000.0 * product.sells_per_kg, total.currency);
    masses.push_back(product.mass.milligrams());
    values.push_back(value.minor);
    mass_sum += masses.back();
    value_sum += values.back();
    shares.push_back({product.name, value, {0, total.currency}, {0, total.currency}});
  }
  if (mass_sum <= 0) return refuse("There is no product that weighs anything.", "joint products");
  if (value_sum <= 0) return refuse("There is no product that sells.", "joint products");
  const auto by_weight = units::SplitMoney(total, masses);
  const auto by_value = units::SplitMoney(total, values);
  for (std::size_t i = 0; i < shares.size(); ++i) {
    shares[i].by_weight = by_weight[i];
    shares[i].by_value = by_value[i];
  }
  return shares;
}

}  // namespace ribwright::costing
