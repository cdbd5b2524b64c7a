// SPDX-License-Identifier: Apache-2.0
#include "costing/served_cost.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <thread>

#include "base/check.h"
#include "costing/chain_inputs.h"
#include "math/draws.h"

namespace ribwright::costing {
namespace {

// Draws are made block by block, so that a block's values stay in the nearest cache.
constexpr std::size_t kBlock = ChainArithmetic::kBlock;

Status CheckPlan(const DrawPlan& plan) {
  if (plan.draws >= 100 && plan.draws <= 10'000'000 && plan.threads >= 1 && plan.threads <= 1024) {
    return {};
  }
  return Fail(Code::kBadOption, fmt::format("{} draws on {} threads.", plan.draws, plan.threads),
              "draws", "Give 100 to 10 million draws on 1 to 1024 threads.");
}

struct Drawn {
  CostDraws costs;
  std::vector<double> served;
  std::vector<double> lines;  // sums over draws, added block by block in order
};

class Drawer {
 public:
  Drawer(const ServedChain& chain, const DrawPlan& plan)
      : plan_(plan), arithmetic_(chain), inputs_(InputsOf(chain)) {
    for (const ChainInput& input : inputs_) {
      tables_.emplace_back(*input.spread, input.scale);
      keys_.push_back(StreamOf(input, chain, plan.seed));
      constant_.emplace_back(input.spread->exact() ? kBlock : 0, input.spread->mid);
    }
    lines_ = arithmetic_.LineNames().size();
  }

  // False where some draw leaves nothing.
  bool Run(bool with_lines, Drawn& out) const {
    const auto draws = static_cast<std::size_t>(plan_.draws);
    for (auto* column : {&out.costs.per_price, &out.costs.rest, &out.costs.price, &out.served}) {
      column->resize(draws);
    }
    const std::size_t blocks = (draws + kBlock - 1) / kBlock;
    std::vector<double> sums(with_lines ? blocks * lines_ : 0);
    std::vector<char> fine(blocks, 1);
    const auto work = [&](std::size_t first) {
      Scratch values(inputs_.size());
      const auto step = static_cast<std::size_t>(plan_.threads);
      for (std::size_t block = first; block < blocks; block += step) {
        fine[block] = Block(block, values, with_lines, out, sums) ? 1 : 0;
      }
    };
    std::vector<std::thread> threads;
    for (int t = 1; t < plan_.threads; ++t) threads.emplace_back(work, static_cast<std::size_t>(t));
    work(0);
    for (std::thread& thread : threads) thread.join();
    out.lines.assign(with_lines ? lines_ : 0, 0.0);
    for (std::size_t i = 0; i < sums.size(); ++i) out.lines[i % lines_] += sums[i];
    return std::all_of(fine.begin(), fine.end(), [](char f) { return f != 0; });
  }

 private:
  struct Scratch {
    explicit Scratch(std::size_t width) : drawn(width * kBlock), columns(width), one(width) {}
    std::vector<double> drawn;  // input by input
    std::vector<const double*> columns;
    std::vector<double> one;  // a draw's values
  };

  bool Block(std::size_t block, Scratch& values, bool with_lines, Drawn& out,
             std::vector<double>& sums) const {
    const std::size_t begin = block * kBlock;
    const std::size_t count = std::min<std::size_t>(kBlock, out.served.size() - begin);
    const std::size_t width = inputs_.size();
    for (std::size_t i = 0; i < width; ++i) {
      if (!constant_[i].empty()) {
        values.columns[i] = constant_[i].data();
        continue;
      }
      double* column = values.drawn.data() + i * kBlock;
      for (std::size_t d = 0; d < count; ++d) {
        column[d] = tables_[i].At(math::CounterUniform(keys_[i], begin + d));
      }
      values.columns[i] = column;
    }
    const auto part = [&](std::vector<double>& all) {
      return std::span(all).subspan(begin, count);
    };
    const bool fine = arithmetic_.EvaluateBlock(values.columns, part(out.costs.per_price),
                                                part(out.costs.rest), part(out.served));
    std::copy_n(values.columns[kPrice], count, out.costs.price.data() + begin);
    for (std::size_t d = 0; with_lines && fine && d < count; ++d) {
      for (std::size_t i = 0; i < width; ++i) values.one[i] = values.columns[i][d];
      arithmetic_.AddLines(values.one, std::span(sums).subspan(block * lines_, lines_));
    }
    return fine;
  }

  DrawPlan plan_;
  ChainArithmetic arithmetic_;
  std::vector<ChainInput> inputs_;
  std::vector<DrawTable> tables_;
  std::vector<std::uint64_t> keys_;
  std::vector<std::vector<double>> constant_;  // of exact inputs, a block long
  std::size_t lines_ = 0;
};

tl::unexpected<Error> NothingLeft(const ServedChain& chain) {
  return Fail(Code::kDataUnusable, "A stage's shares can take the whole piece.", chain.name,
              "Narrow the shares of the stage with the largest ones: together they must stay "
              "below 1.");
}

double CostAt(const ChainArithmetic& arithmetic, std::span<const double> values) {
  const auto outcome = arithmetic.Evaluate(values);
  return values[kPrice] * outcome.per_price + outcome.rest;
}

std::vector<double> Middles(const std::vector<ChainInput>& inputs) {
  std::vector<double> values;
  for (const ChainInput& input : inputs) values.push_back(input.spread->mid);
  return values;
}

std::vector<CostSwing> Tornado(const ServedChain& chain) {
  const ChainArithmetic arithmetic(chain);
  const std::vector<ChainInput> inputs = InputsOf(chain);
  std::vector<double> values = Middles(inputs);
  std::vector<CostSwing> swings;
  for (std::size_t i = 0; i < inputs.size(); ++i) {
    const Spread& spread = *inputs[i].spread;
    if (spread.exact()) continue;
    CostSwing swing{inputs[i].name, 0.0, 0.0, spread.origin, spread.source};
    values[i] = spread.low;
    swing.at_low = CostAt(arithmetic, values);
    values[i] = spread.high;
    swing.at_high = CostAt(arithmetic, values);
    values[i] = spread.mid;
    swings.push_back(std::move(swing));
  }
  std::stable_sort(swings.begin(), swings.end(),
                   [](const CostSwing& a, const CostSwing& b) { return a.Width() > b.Width(); });
  return swings;
}

// A line carries the least certain origin of the inputs behind it.
void NameOrigins(const ServedChain& chain, std::vector<CostLine>& lines) {
  const auto take = [](CostLine& line, const Spread& spread) {
    if (spread.exact() && spread.mid == 0.0) return;
    const auto rank = [](Origin o) {
      return o == Origin::kAssumed ? 3 : o == Origin::kPublished ? 2 : o == Origin::kOwn ? 1 : 0;
    };
    if (line.source.empty() || rank(spread.origin) > rank(line.origin)) {
      line.origin = spread.origin;
      line.source = spread.source;
    }
  };
  take(lines[0], chain.price_per_kg);
  take(lines[1], chain.freight_per_kg);
  take(lines[2], chain.minutes);
  take(lines[2], chain.wage_per_hour);
  take(lines[3], chain.days_held);
  take(lines[3], chain.holding_per_kg_day);
  for (std::size_t i = 0; i < chain.stages.size(); ++i) {
    for (const StagePart& part : chain.stages[i].parts) take(lines[kPaidLines + i], part.share);
  }
}

// Linear between order statistics; leaves everything below the quantile before it.
double Quantile(std::vector<double>& x, double q) {
  const double place = q * static_cast<double>(x.size() - 1);
  const auto below = static_cast<std::ptrdiff_t>(place);
  std::nth_element(x.begin(), x.begin() + below, x.end());
  const double low = x[static_cast<std::size_t>(below)];
  const double part = place - static_cast<double>(below);
  if (part == 0.0) return low;
  return low + part * (*std::min_element(x.begin() + below + 1, x.end()) - low);
}

}  // namespace

Measured SummaryOf(std::vector<double>& draws, std::string unit, std::string basis) {
  RIBWRIGHT_CHECK(!draws.empty());
  const double low = Quantile(draws, 0.05);
  const double middle = Quantile(draws, 0.5);
  const double high = Quantile(draws, 0.95);
  return Measured::Of(middle, low, high, std::move(unit), std::move(basis));
}

Status CheckChain(const ServedChain& chain) {
  const auto refuse = [&](std::string message, std::string mend) {
    return Fail(Code::kDataUnusable, std::move(message), chain.name, std::move(mend));
  };
  if (chain.purchased <= units::Mass()) {
    return refuse("The piece weighs nothing.", "Give its mass as purchased.");
  }
  if (chain.portion && *chain.portion <= units::Mass()) {
    return refuse("The portion weighs nothing.", "Give the served portion in grams.");
  }
  for (const Stage& stage : chain.stages) {
    double middles = 0.0;
    for (const StagePart& part : stage.parts) middles += part.share.mid;
    if (middles >= 1.0) {
      return refuse(fmt::format("The parts of {} take the whole piece.", stage.name),
                    "Give shares of what stands before the stage, together below 1.");
    }
  }
  for (const ChainInput& input : InputsOf(chain)) {
    const Status fine = CheckSpread(*input.spread, input.scale, chain.name + ": " + input.name);
    if (!fine) return fine;
    if (input.spread->high >= 1e9) {
      return refuse("A number is out of all proportion.", "Give " + input.name + " below 1e9.");
    }
  }
  return {};
}

double CostPerKgAtMiddles(const ServedChain& chain) {
  return CostAt(ChainArithmetic(chain), Middles(InputsOf(chain)));
}

Result<CostDraws> DrawCosts(const ServedChain& chain, const DrawPlan& plan) {
  if (const Status fine = CheckPlan(plan); !fine) return Fail(fine.error());
  if (const Status fine = CheckChain(chain); !fine) return Fail(fine.error());
  Drawn drawn;
  if (!Drawer(chain, plan).Run(false, drawn)) return NothingLeft(chain);
  return std::move(drawn.costs);
}

Result<ServedCost> ComputeServedCost(const ServedChain& chain, const DrawPlan& plan) {
  if (const Status fine = CheckPlan(plan); !fine) return Fail(fine.error());
  if (const Status fine = CheckChain(chain); !fine) return Fail(fine.error());
  Drawn drawn;
  if (!Drawer(chain, plan).Run(true, drawn)) return NothingLeft(chain);
  const auto draws = static_cast<double>(plan.draws);
  const std::string currency(chain.currency.text());
  const std::string basis = fmt::format("{} draws of the chain", plan.draws);
  ServedCost cost;
  std::vector<double> per_100g(drawn.served.size());
  for (std::size_t d = 0; d < per_100g.size(); ++d) {
    per_100g[d] = drawn.costs.Cost(d) / 10.0;
    cost.mean_per_kg += drawn.costs.Cost(d);
  }
  cost.mean_per_kg /= draws;
  cost.per_100g = SummaryOf(per_100g, currency + "/100 g", basis);
  cost.served_yield = SummaryOf(drawn.served, "1", basis);
  if (chain.portion) {
    const double portions = chain.portion->grams() / 100.0;
    const Measured& m = cost.per_100g;
    cost.per_portion = Measured::Of(*m.value * portions, m.low * portions, m.high * portions,
                                    currency + "/portion", basis);
  }
  const auto names = ChainArithmetic(chain).LineNames();
  for (std::size_t i = 0; i < names.size(); ++i) {
    cost.lines.push_back({names[i], drawn.lines[i] / draws, Origin::kQuoted, {}});
  }
  NameOrigins(chain, cost.lines);
  cost.tornado = Tornado(chain);
  return cost;
}

}  // namespace ribwright::costing
