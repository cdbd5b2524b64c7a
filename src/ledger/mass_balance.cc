// SPDX-License-Identifier: Apache-2.0
#include "ledger/mass_balance.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/check.h"

namespace ribwright::ledger {

using units::GramsText;
using units::Mass;

namespace {

// Published table of the header: up to so many divisions, so many divisions of error.
struct Step {
  std::int64_t up_to;
  std::int64_t error;
};
constexpr Step kClassThree[] = {{500, 1}, {2000, 2}, {4000, 3}};
constexpr std::int64_t kErrorAbove = 5;

constexpr Mass kBenchDivision = Mass::FromMilligrams(1'000);      // assumed
constexpr Mass kCounterDivision = Mass::FromMilligrams(5'000);    // assumed
constexpr Mass kCounterFrom = Mass::FromMilligrams(1'500'000);    // assumed
constexpr Mass kLargestDivision = Mass::FromMilligrams(500'000);  // assumed: a yard scale's

Mass Sum(std::span<const Mass> masses) {
  Mass sum;
  for (const Mass mass : masses) {
    RIBWRIGHT_CHECK(mass >= Mass());
    sum += mass;
  }
  return sum;
}

}  // namespace

Mass WeighingTolerance(Mass mass, Mass division) {
  RIBWRIGHT_CHECK(mass >= Mass() && division > Mass());
  const std::int64_t d = division.milligrams();
  for (const Step& step : kClassThree) {
    if (mass.milligrams() <= step.up_to * d) return Mass::FromMilligrams(step.error * d);
  }
  return Mass::FromMilligrams(kErrorAbove * d);
}

Result<Balance> BalanceOf(std::span<const Mass> inputs, std::span<const Mass> outputs,
                          std::span<const Loss> losses, const ScaleNote& scale) {
  std::vector<Mass> lost;
  for (const Loss& loss : losses) lost.push_back(loss.mass);
  Balance balance{Sum(inputs), Sum(outputs), Sum(lost), Mass()};
  if (scale.tolerance) {
    if (*scale.tolerance < Mass() || scale.tolerance->milligrams() > balance.in.milligrams() / 10) {
      return Fail(Code::kEntryUnusable,
                  fmt::format("A tolerance of {} is wider than a tenth of the {} that went in.",
                              GramsText(*scale.tolerance), GramsText(balance.in)),
                  "tolerance_g", "Give the scale's own tolerance, or leave it out.");
    }
    balance.tolerance = *scale.tolerance;
    return balance;
  }
  const Mass division = scale.division.value_or(
      std::max(balance.in, balance.out) > kCounterFrom ? kCounterDivision : kBenchDivision);
  if (division <= Mass() || division > kLargestDivision) {
    return Fail(Code::kEntryUnusable,
                fmt::format("A scale's division of {} cannot be.", GramsText(division)),
                "division_g", "Give the division printed on the scale, in grams.");
  }
  double squares = 0.0;
  const auto add = [&](std::span<const Mass> masses) {
    for (const Mass mass : masses) {
      if (mass == Mass()) continue;
      const double error = WeighingTolerance(mass, division).grams();
      squares += error * error;
    }
  };
  add(inputs);
  add(outputs);
  add(lost);
  balance.tolerance = std::max(division, Mass::FromGrams(std::sqrt(squares)));
  return balance;
}

Status RequireClosed(const Balance& balance, const std::string& where) {
  if (balance.Closes()) return {};
  const Mass difference = balance.Difference();
  const bool more = difference > Mass();
  return Fail(
      Code::kMassNotConserved,
      fmt::format("{} went in, {} came out and {} was lost: {} {}; the scale's tolerance is {}.",
                  GramsText(balance.in), GramsText(balance.out), GramsText(balance.lost),
                  GramsText(more ? difference : -difference),
                  more ? "too much came out" : "are missing", GramsText(balance.tolerance)),
      where,
      more ? "Weigh the outputs again; if the piece's last weight was wrong, correct that first."
           : "Weigh again, or enter what was lost (kerf, trim, bone, purge, drying).");
}

}  // namespace ribwright::ledger
