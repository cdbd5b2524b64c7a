// SPDX-License-Identifier: Apache-2.0
#include "costing/amount.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numeric>

#include "base/check.h"
#include "units/format.h"

namespace ribwright::costing {

double MinorPerUnit(const units::Currency& currency) { return std::pow(10.0, currency.decimals()); }

double AmountOf(const units::Money& money) {
  return static_cast<double>(money.minor) / MinorPerUnit(money.currency);
}

units::Money RoundToMoney(double amount, const units::Currency& currency) {
  RIBWRIGHT_CHECK(std::isfinite(amount) && std::fabs(amount) < 1e12);
  return {std::llround(amount * MinorPerUnit(currency)), currency};
}

std::vector<units::Money> RoundToTotal(std::span<const double> parts,
                                       const units::Currency& currency) {
  const double unit = MinorPerUnit(currency);
  std::vector<units::Money> rounded;
  std::vector<double> remainders;
  double sum = 0.0;
  std::int64_t floors = 0;
  for (const double part : parts) {
    RIBWRIGHT_CHECK(std::isfinite(part) && std::fabs(part) < 1e12);
    const double floor = std::floor(part * unit);
    rounded.push_back({static_cast<std::int64_t>(floor), currency});
    remainders.push_back(part * unit - floor);
    floors += rounded.back().minor;
    sum += part * unit;
  }
  std::int64_t left = std::llround(sum) - floors;
  std::vector<std::size_t> order(parts.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::stable_sort(order.begin(), order.end(),
                   [&](std::size_t a, std::size_t b) { return remainders[a] > remainders[b]; });
  RIBWRIGHT_CHECK(left >= 0 && left <= static_cast<std::int64_t>(parts.size()));
  for (std::size_t i = 0; left > 0; ++i, --left) rounded[order[i]].minor += 1;
  return rounded;
}

std::string AmountText(double amount, const units::Currency& currency, int decimals) {
  return fmt::format("{} {}", currency.text(), units::Fixed(amount, decimals));
}

}  // namespace ribwright::costing
