// SPDX-License-Identifier: Apache-2.0
#include "costing/house_yield.h"

#include <fmt/format.h>

#include <boost/math/distributions/students_t.hpp>
#include <cmath>
#include <map>

namespace ribwright::costing {
namespace {

constexpr double kZ90 = 1.6448536269514722;

double Logit(double s) { return std::log(s) - std::log1p(-s); }
double Share(double z) { return 1.0 / (1.0 + std::exp(-z)); }

struct Group {
  double n = 0.0;
  double sum = 0.0;
  double squares = 0.0;
};

}  // namespace

Result<Spread> NextPiece(const Spread& published, const std::vector<ShareTest>& tests,
                         const std::string& supplier, const HousePrior& prior) {
  if (const Status fine = CheckSpread(published, Scale::kShare, "published"); !fine) {
    return Fail(fine.error());
  }
  if (tests.empty()) return published;
  if (published.exact()) {
    return Fail(Code::kDataUnusable, "An exact share cannot learn from tests.", "published",
                "Give it low, mid and high.");
  }
  if (!(prior.supplier_sd > 0.0 && prior.piece_sd > 0.0 && prior.piece_worth > 0.0)) {
    return Fail(Code::kDataUnusable, "A spread of the prior is not above zero.", "prior",
                "Give spreads above zero.");
  }
  std::map<std::string, Group> groups;
  for (const ShareTest& test : tests) {
    if (!(test.share > 0.0 && test.share < 1.0)) {
      return Fail(Code::kDataUnusable, fmt::format("A tested share of {} is none.", test.share),
                  test.supplier, "Give shares between 0 and 1.");
    }
    Group& g = groups[test.supplier];
    const double z = Logit(test.share);
    g.n += 1.0;
    g.sum += z;
    g.squares += z * z;
  }
  double scatter = 0.0;
  double freedom = 0.0;
  for (const auto& [name, g] : groups) {
    scatter += std::max(0.0, g.squares - g.sum * g.sum / g.n);
    freedom += g.n - 1.0;
  }
  const double r2 = (prior.piece_worth * prior.piece_sd * prior.piece_sd + scatter) /
                    (prior.piece_worth + freedom);
  const double w2 = prior.supplier_sd * prior.supplier_sd;
  const double centre = Logit(published.mid);
  const double width = (Logit(published.high) - Logit(published.low)) / (2.0 * kZ90);
  const double b2 = std::max(width * width - prior.piece_sd * prior.piece_sd, 0.05 * 0.05);
  // The item's mean: each supplier's mean has variance w2 + r2 / n around it.
  double precision = 1.0 / b2;
  double weighted = centre / b2;
  for (const auto& [name, g] : groups) {
    const double v = w2 + r2 / g.n;
    precision += 1.0 / v;
    weighted += g.sum / g.n / v;
  }
  double mean = weighted / precision;
  double variance = 1.0 / precision + w2;
  const auto own = groups.find(supplier);
  if (own != groups.end()) {
    // Without the supplier's own tests first, then its tests once.
    const Group& g = own->second;
    const double v = w2 + r2 / g.n;
    const double others = precision - 1.0 / v;
    const double m = (weighted - g.sum / g.n / v) / others;
    const double before = 1.0 / others + w2;
    const double gain = before / (before + r2 / g.n);
    mean = m + gain * (g.sum / g.n - m);
    variance = (1.0 - gain) * before;
  }
  const boost::math::students_t law(prior.piece_worth + freedom);
  const double reach = boost::math::quantile(law, 0.95) * std::sqrt(variance + r2);
  const std::size_t mine = own == groups.end() ? 0 : static_cast<std::size_t>(own->second.n);
  return Spread{Share(mean),
                Share(mean - reach),
                Share(mean + reach),
                Origin::kOwn,
                fmt::format("{} own tests, {} of this supplier, shrunk to {}", tests.size(), mine,
                            published.source.empty() ? "the published spread" : published.source),
                published.stream.empty() ? "" : published.stream + "/" + supplier};
}

}  // namespace ribwright::costing
