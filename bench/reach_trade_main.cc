// SPDX-License-Identifier: Apache-2.0
// `bench/reach buying`: speed of the chain against numpy in the same run, imports, coverage on
// simulated houses, calibration of ranking odds, money over splits.
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <string>
#include <vector>

#include "base/check.h"
#include "costing/house_yield.h"
#include "costing/joint_cost.h"
#include "costing/price_list.h"
#include "costing/rank.h"
#include "math/rng.h"
#include "reach_rows.h"

namespace ribwright::bench {
namespace {

using costing::ServedChain;
using costing::Spread;

constexpr int kOffers = 200;
constexpr int kDraws = 20'000;

int worst = 0;  // 0 ok, 1 short, 4 skipped

void Show(const Row& row) {
  fmt::print("{}\n", Line(row));
  std::fflush(stdout);
  if (row.verdict == Verdict::kShort) worst = 1;
  if (row.verdict == Verdict::kSkipped && worst == 0) worst = 4;
}

// Of this process's processor time, so that what else the machine does is not counted.
double Seconds() {
  timespec now{};
  RIBWRIGHT_CHECK(::clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &now) == 0);
  return static_cast<double>(now.tv_sec) + 1e-9 * static_cast<double>(now.tv_nsec);
}

// The offers that bench/reach_trade_numpy.py costs too; change both.
ServedChain Offer(int i) {
  const double x = 1.0 + 0.002 * i;
  const auto share = [&](double mid) {
    return Spread{mid * x, mid * x * 0.7, mid * x * 1.4, costing::Origin::kAssumed, "bench", ""};
  };
  ServedChain chain;
  chain.name = fmt::format("offer {}", i);
  chain.purchased = units::Mass::FromKilograms(8.0);
  chain.price_per_kg = Spread::Exact(24.0 + 0.03 * i);
  chain.freight_per_kg = Spread::Exact(0.4);
  chain.minutes = {25.0, 18.0, 40.0, costing::Origin::kAssumed, "bench", ""};
  chain.wage_per_hour = Spread::Exact(24.0);
  chain.days_held = Spread::Exact(28.0);
  chain.holding_per_kg_day = Spread::Exact(0.03);
  chain.stages = {{"purge", {{"purge", share(0.006), Spread::Exact(0.0)}}},
                  {"ageing shrink", {{"ageing shrink", share(0.09), Spread::Exact(0.0)}}},
                  {"trim",
                   {{"bone", share(0.10), Spread::Exact(1.2)},
                    {"grind", share(0.05), Spread::Exact(9.0)},
                    {"waste", share(0.12), Spread::Exact(0.0)}}},
                  {"cooking loss", {{"cooking loss", share(0.18), Spread::Exact(0.0)}}}};
  return chain;
}

void Speed(const std::string& numpy) {
  std::vector<ServedChain> chains;
  for (int i = 0; i < kOffers; ++i) chains.push_back(Offer(i));
  std::vector<costing::RankedOffer> ranked;
  double best = 1e9;
  for (int turn = 0; turn < 5; ++turn) {
    const double start = Seconds();
    auto result = costing::RankOffers(chains, {1, kDraws, 1});
    best = std::min(best, Seconds() - start);
    RIBWRIGHT_CHECK(result.has_value());
    ranked = std::move(*result);
  }
  double mean = 0.0;
  for (const auto& offer : ranked) mean += *offer.per_100g.value / kOffers;
  Show(AtMost("200 offers x 20000 draws ranked, processor time, best of 5", best, 0.5, "s", 3,
              fmt::format("mean of medians {:.4f} per 100 g", mean)));
  int different = 0;
  for (const int threads : {2, 7}) {
    const auto again = costing::RankOffers(chains, {1, kDraws, threads});
    for (std::size_t i = 0; i < ranked.size(); ++i) {
      different += ranked[i].odds_cheapest != (*again)[i].odds_cheapest ||
                           *ranked[i].per_100g.value != *(*again)[i].per_100g.value
                       ? 1
                       : 0;
    }
  }
  Show(AtMost("offers that differ on 2 and 7 threads", different, 0, "", 0));
  const std::string command = fmt::format("/usr/bin/python3 {} 2>/dev/null", numpy);
  std::FILE* pipe = ::popen(command.c_str(), "r");
  double seconds = 0.0;
  double numpy_mean = 0.0;
  const bool ran = pipe != nullptr && std::fscanf(pipe, "%lf %lf", &seconds, &numpy_mean) == 2;
  if (pipe != nullptr) ::pclose(pipe);
  if (!ran) {
    Show(Skipped("times numpy's own time for the same chain", ">= 5.0", "python3-numpy absent"));
    return;
  }
  const bool same = std::fabs(numpy_mean - mean) < 0.005 * mean;
  Show(AtLeast(
      "times faster than numpy over the same chain", same ? seconds / best : 0.0, 5.0, "", 1,
      fmt::format("numpy best of 3 {:.3f} s, mean of medians {:.4f}", seconds, numpy_mean)));
}

void Import() {
  std::string text = "Code,Article,Price,Unit,Grade,Valid to\n";
  for (int i = 0; i < 5000; ++i) {
    text += i % 25 == 3 ? fmt::format("{},\"cut, boned\",no price,kg,Choice,2026-12-31\n", i)
                        : fmt::format("{},\"cut, boned\",\"1,{:03}.50\",kg,Choice,2026-12-31\n", i,
                                      i % 1000);
  }
  costing::PriceMapping mapping;
  mapping.supplier = "bench";
  mapping.columns = {{"item", "Code"}, {"name", "Article"}, {"price", "Price"},
                     {"per", "Unit"},  {"grade", "Grade"},  {"valid_to", "Valid to"}};
  double best = 1e9;
  std::size_t bad = 0;
  for (int turn = 0; turn < 3; ++turn) {
    const double start = Seconds();
    const auto list = costing::ReadPriceList(text, "bench", mapping);
    best = std::min(best, Seconds() - start);
    RIBWRIGHT_CHECK(list.has_value() && list->offers.size() == 4800);
    bad = list->bad.size();
  }
  Show(AtMost("5000 price lines read, processor time, best of 3", best, 1.0, "s", 3));
  Show(Between("bad lines of 200 reported", static_cast<double>(bad), 200, 200, "", 0));
}

// A house whose suppliers and pieces scatter as house_yield.h assumes, and what it tested.
struct House {
  std::array<std::array<double, 3>, 4> supplier{};  // z of [supplier][share]
  std::array<std::vector<costing::ShareTest>, 3> tests;
};

const std::array<Spread, 3> kPublished = {
    Spread{0.09, 0.055, 0.14, costing::Origin::kPublished, "table", ""},
    Spread{0.25, 0.16, 0.36, costing::Origin::kPublished, "table", ""},
    Spread{0.19, 0.12, 0.28, costing::Origin::kPublished, "table", ""}};

double Logit(double s) { return std::log(s / (1.0 - s)); }
double ShareOf(double z) { return 1.0 / (1.0 + std::exp(-z)); }

House Draw(math::Rng& rng) {
  House house;
  for (std::size_t k = 0; k < 3; ++k) {
    const Spread& p = kPublished[k];
    const double width = (Logit(p.high) - Logit(p.low)) / 3.2897;
    const double mean = Logit(p.mid) + std::sqrt(width * width - 0.04) * rng.Normal();
    for (auto& supplier : house.supplier) supplier[k] = mean + 0.10 * rng.Normal();
    const auto count = rng.Below(16);
    for (std::uint32_t t = 0; t < count; ++t) {
      const auto who = rng.Below(4);
      house.tests[k].push_back(
          {fmt::format("S{}", who), ShareOf(house.supplier[who][k] + 0.2 * rng.Normal())});
    }
  }
  return house;
}

ServedChain ChainOf(const std::array<Spread, 3>& shares, double price, const std::string& name) {
  ServedChain chain;
  chain.name = name;
  chain.purchased = units::Mass::FromKilograms(8.0);
  chain.price_per_kg = Spread::Exact(price);
  const char* const names[] = {"ageing shrink", "trim", "cooking loss"};
  for (std::size_t k = 0; k < 3; ++k) {
    chain.stages.push_back({names[k], {{names[k], shares[k], Spread::Exact(0.0)}}});
  }
  return chain;
}

void Coverage() {
  math::Rng rng(20260);
  int held = 0;
  constexpr int kHouses = 2000;
  double brier = 0.0;
  double expected = 0.0;
  double blind = 0.0;
  for (int h = 0; h < kHouses; ++h) {
    const House house = Draw(rng);
    std::vector<ServedChain> chains;
    std::array<double, 4> truth{};
    for (std::size_t s = 0; s < 4; ++s) {
      std::array<Spread, 3> shares;
      std::array<Spread, 3> real;
      for (std::size_t k = 0; k < 3; ++k) {
        const auto next = costing::NextPiece(kPublished[k], house.tests[k], fmt::format("S{}", s));
        RIBWRIGHT_CHECK(next.has_value());
        shares[k] = *next;
        shares[k].stream.clear();
        real[k] = Spread::Exact(ShareOf(house.supplier[s][k] + 0.2 * rng.Normal()));
      }
      const double price = 24.0 + rng.Uniform(-1.5, 1.5);
      chains.push_back(ChainOf(shares, price, fmt::format("S{}", s)));
      truth[s] = costing::CostPerKgAtMiddles(ChainOf(real, price, "truth")) / 10.0;
    }
    const auto ranked = costing::RankOffers(chains, {static_cast<std::uint64_t>(h), 2000, 1});
    RIBWRIGHT_CHECK(ranked.has_value());
    const auto cheapest =
        static_cast<std::size_t>(std::min_element(truth.begin(), truth.end()) - truth.begin());
    for (const costing::RankedOffer& offer : *ranked) {
      const double won = offer.index == cheapest ? 1.0 : 0.0;
      const double p = offer.odds_cheapest;
      brier += (p - won) * (p - won);
      expected += p * (1.0 - p);
      blind += (0.25 - won) * (0.25 - won);
      if (offer.index == 0) {
        held += truth[0] >= offer.per_100g.low && truth[0] <= offer.per_100g.high ? 1 : 0;
      }
    }
  }
  Show(Between("cost of the next piece inside its interval, 2000 simulated houses",
               100.0 * held / kHouses, 85, 95, "%", 1));
  Show(Between("Brier score of odds of cheapest over what calibrated odds would score",
               brier / expected, 0.9, 1.1, "", 3,
               fmt::format("Brier {:.4f} an offer", brier / kHouses / 4.0)));
  Show(AtMost("Brier score over that of equal odds", brier / blind, 0.95, "", 3));
}

void Splits() {
  math::Rng rng(8);
  const auto usd = *units::Currency::FromText("USD");
  int lost = 0;
  for (int turn = 0; turn < 20'000; ++turn) {
    const units::Money total{static_cast<std::int64_t>(rng.Below(5'000'000)), usd};
    std::vector<costing::JointProduct> products;
    for (std::uint32_t i = 0; i <= rng.Below(10); ++i) {
      products.push_back(
          {"p", units::Mass::FromMilligrams(1000 + rng.Below(9'000'000)), rng.Uniform(20.0, 60.0)});
    }
    const auto shares = costing::ShareJointCost(total, products);
    if (!shares) continue;
    std::int64_t weight = 0;
    std::int64_t value = 0;
    for (const costing::JointShare& share : *shares) {
      weight += share.by_weight.minor;
      value += share.by_value.minor;
    }
    lost += weight != total.minor || value != total.minor ? 1 : 0;
  }
  Show(AtMost("splits of 20000 that lose or find a cent", lost, 0, "", 0));
}

}  // namespace
}  // namespace ribwright::bench

int main(int argc, char** argv) {
  ribwright::bench::Speed(argc > 1 ? argv[1] : "bench/reach_trade_numpy.py");
  ribwright::bench::Import();
  ribwright::bench::Coverage();
  ribwright::bench::Splits();
  return ribwright::bench::worst;
}
