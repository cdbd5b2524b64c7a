// SPDX-License-Identifier: Apache-2.0
#include "costing/chain_inputs.h"

#include <algorithm>
#include <array>

#include "math/draws.h"

namespace ribwright::costing {

std::vector<ChainInput> InputsOf(const ServedChain& chain) {
  std::vector<ChainInput> inputs = {
      {"price", &chain.price_per_kg, Scale::kAmount},
      {"freight", &chain.freight_per_kg, Scale::kAmount},
      {"minutes of labour", &chain.minutes, Scale::kAmount},
      {"wage", &chain.wage_per_hour, Scale::kAmount},
      {"days held", &chain.days_held, Scale::kAmount},
      {"holding cost", &chain.holding_per_kg_day, Scale::kAmount},
  };
  for (const Stage& stage : chain.stages) {
    for (const StagePart& part : stage.parts) {
      const std::string name = stage.name == part.name ? stage.name : stage.name + ": " + part.name;
      inputs.push_back({name, &part.share, Scale::kShare});
      inputs.push_back({name + ", value", &part.value_per_kg, Scale::kAmount});
    }
  }
  return inputs;
}

std::uint64_t StreamOf(const ChainInput& input, const ServedChain& chain, std::uint64_t seed) {
  if (!input.spread->stream.empty()) return math::StreamKey(seed, input.spread->stream);
  return math::StreamKey(seed, chain.name + "\n" + input.name);
}

ChainArithmetic::ChainArithmetic(const ServedChain& chain)
    : chain_(chain), kg_(chain.purchased.grams() / 1000.0) {
  for (const Stage& stage : chain.stages) parts_.push_back(stage.parts.size());
}

ChainArithmetic::Outcome ChainArithmetic::Evaluate(std::span<const double> values) const {
  Outcome out;
  double mass = 1.0;  // of each kg as purchased
  double credit = 0.0;
  std::size_t at = kFixedInputs;
  for (const std::size_t parts : parts_) {
    double taken = 0.0;
    double value = 0.0;
    for (std::size_t k = 0; k < parts; ++k, at += 2) {
      taken += values[at];
      value += values[at] * values[at + 1];
    }
    credit += mass * value;
    if (taken >= 1.0) out.nothing_left = true;
    mass *= 1.0 - taken;
  }
  if (out.nothing_left) return out;
  const double labour = values[kMinutes] * values[kWage] / 60.0 / kg_;
  const double paid = values[kFreight] + labour + values[kDays] * values[kHolding];
  out.served = mass;
  out.per_price = 1.0 / mass;
  out.rest = (paid - credit) / mass;
  return out;
}

bool ChainArithmetic::EvaluateBlock(std::span<const double* const> columns,
                                    std::span<double> per_price, std::span<double> rest,
                                    std::span<double> served) const {
  const std::size_t count = served.size();
  std::array<double, kBlock> credit{};
  std::array<double, kBlock> taken;
  std::array<double, kBlock> value;
  double* mass = served.data();
  std::fill_n(mass, count, 1.0);
  bool fine = true;
  std::size_t at = kFixedInputs;
  for (const std::size_t parts : parts_) {
    std::fill_n(taken.data(), count, 0.0);
    std::fill_n(value.data(), count, 0.0);
    for (std::size_t k = 0; k < parts; ++k, at += 2) {
      const double* share = columns[at];
      const double* worth = columns[at + 1];
      for (std::size_t d = 0; d < count; ++d) {
        taken[d] += share[d];
        value[d] += share[d] * worth[d];
      }
    }
    double most = 0.0;
    for (std::size_t d = 0; d < count; ++d) {
      most = taken[d] > most ? taken[d] : most;
      credit[d] += mass[d] * value[d];
      mass[d] *= 1.0 - taken[d];
    }
    fine = fine && most < 1.0;
  }
  for (std::size_t d = 0; d < count; ++d) {
    const double labour = columns[kMinutes][d] * columns[kWage][d] / 60.0 / kg_;
    const double paid = columns[kFreight][d] + labour + columns[kDays][d] * columns[kHolding][d];
    per_price[d] = 1.0 / mass[d];
    rest[d] = (paid - credit[d]) / mass[d];
  }
  return fine;
}

void ChainArithmetic::AddLines(std::span<const double> values, std::span<double> lines) const {
  const double paid[kPaidLines] = {values[kPrice], values[kFreight],
                                   values[kMinutes] * values[kWage] / 60.0 / kg_,
                                   values[kDays] * values[kHolding]};
  double cost = 0.0;  // per kg of what is left
  for (std::size_t i = 0; i < kPaidLines; ++i) {
    lines[i] += paid[i];
    cost += paid[i];
  }
  std::size_t at = kFixedInputs;
  for (std::size_t stage = 0; stage < parts_.size(); ++stage) {
    double taken = 0.0;
    double value = 0.0;
    for (std::size_t k = 0; k < parts_[stage]; ++k, at += 2) {
      taken += values[at];
      value += values[at] * values[at + 1];
    }
    const double after = (cost - value) / (1.0 - taken);
    lines[kPaidLines + stage] += after - cost;
    cost = after;
  }
}

std::vector<std::string> ChainArithmetic::LineNames() const {
  std::vector<std::string> names = {"meat", "freight", "labour", "holding"};
  for (const Stage& stage : chain_.stages) names.push_back(stage.name);
  return names;
}

}  // namespace ribwright::costing
