// SPDX-License-Identifier: Apache-2.0
// The inputs of a served-cost chain as one flat list, and the arithmetic over one set of their
// values. Inside the layer: served_cost.h is what others use.
#pragma once

#include <cstdint>
#include <span>
#include <string>
#include <vector>

#include "costing/served_cost.h"

namespace ribwright::costing {

struct ChainInput {
  std::string name;
  const Spread* spread = nullptr;
  Scale scale = Scale::kAmount;
};

// In the order in which ChainArithmetic reads values: the six fixed ones, then (share, value) of
// each part.
std::vector<ChainInput> InputsOf(const ServedChain& chain);
std::uint64_t StreamOf(const ChainInput& input, const ServedChain& chain, std::uint64_t seed);

enum FixedInput : std::size_t { kPrice, kFreight, kMinutes, kWage, kDays, kHolding, kFixedInputs };

class ChainArithmetic {
 public:
  explicit ChainArithmetic(const ServedChain& chain);

  struct Outcome {
    double per_price = 0.0;  // cost per served kg of a price of 1 per kg
    double rest = 0.0;       // cost per served kg of all but the price
    double served = 0.0;     // of each kg as purchased
    bool nothing_left = false;
  };
  Outcome Evaluate(std::span<const double> values) const;

  static constexpr std::size_t kBlock = 512;
  // The same over up to kBlock draws, columns[input][draw]: the same operations in the same order.
  // False where some draw leaves nothing.
  bool EvaluateBlock(std::span<const double* const> columns, std::span<double> per_price,
                     std::span<double> rest, std::span<double> served) const;

  // Adds what each line adds to the cost per served kg; sizes as lines() has names.
  void AddLines(std::span<const double> values, std::span<double> lines) const;
  // "meat", "freight", "labour", "holding", then the stages' names.
  std::vector<std::string> LineNames() const;

 private:
  const ServedChain& chain_;
  double kg_;
  std::vector<std::size_t> parts_;  // of each stage
};

inline constexpr std::size_t kPaidLines = 4;

}  // namespace ribwright::costing
