// SPDX-License-Identifier: Apache-2.0
#include "programme/compare.h"

#include <algorithm>
#include <array>
#include <boost/math/distributions/normal.hpp>
#include <cmath>

#include "programme/compare_words.h"
#include "programme/words.h"
#include "report/outline_area.h"

namespace ribwright::programme {
namespace {

using report::Face;
using report::Muscle;
using report::MuscleName;

constexpr double kLevel = 0.9;

// Half widths in standard deviations at a level, two-sided.
double Quantile(double level) {
  return boost::math::quantile(boost::math::normal(), 0.5 + level / 2.0);
}

struct HalfWidths {
  double down = 0.0;
  double up = 0.0;
};
HalfWidths AtCommonLevel(const Measured& m) {
  const double factor = Quantile(kLevel) / Quantile(m.level);
  return {(*m.value - m.low) * factor, (m.high - *m.value) * factor};
}

void Add(std::vector<Difference>& list, std::string key, std::string words, const Measured& first,
         const Measured& second) {
  Difference d;
  d.key = std::move(key);
  d.words = std::move(words);
  d.first = first;
  d.second = second;
  d.difference = DifferenceOf(first, second);
  if (d.difference.Known()) {
    d.odds_second_greater = OddsGreaterThanZero(d.difference);
    d.told_apart = d.difference.low > 0.0 || d.difference.high < 0.0;
  }
  list.push_back(std::move(d));
}

void AddMuscle(std::vector<Difference>& list, MuscleName name, const Face& first,
               const Face& second) {
  const Muscle* a = MuscleOf(first, name);
  const Muscle* b = MuscleOf(second, name);
  if (a == nullptr && b == nullptr) return;
  const Muscle none{};
  const auto pick = [&](const Muscle* m, const Measured& value, const char* unit) {
    if (m != nullptr) return value;
    return Measured::Unknown(unit, Joined({"no ", MuscleWords(name), " is seen"}));
  };
  const Muscle& x = a != nullptr ? *a : none;
  const Muscle& y = b != nullptr ? *b : none;
  const std::string key = name == MuscleName::kLongissimus ? "eye"
                          : name == MuscleName::kSpinalis  ? "cap"
                                                           : std::string(report::MuscleText(name));
  const std::string of = Joined({" of the ", MuscleWords(name)});
  Add(list, key + "_marbling_pct", "marbling" + of, pick(a, x.marbling_pct, "%"),
      pick(b, y.marbling_pct, "%"));
  Add(list, key + "_area", "area" + of, pick(a, x.area, "cm2"), pick(b, y.area, "cm2"));
  if (name != MuscleName::kLongissimus && name != MuscleName::kGluteusMedius) return;
  Add(list, key + "_flecks_per_cm2", "flecks" + of, pick(a, x.flecks_per_cm2, "1/cm2"),
      pick(b, y.flecks_per_cm2, "1/cm2"));
  Add(list, key + "_coarseness", "coarse marbling" + of, pick(a, x.coarseness, "%"),
      pick(b, y.coarseness, "%"));
  Add(list, key + "_evenness", "spread, 10 mm," + of, pick(a, x.evenness, "%"),
      pick(b, y.evenness, "%"));
}

struct Share {
  double part = 0.0;  // of all muscles' area
  double marbling = 0.0;
};
using Shares = std::array<Share, 7>;  // by MuscleName

// Several muscles of one name ("other") are joined. Nothing where a share is not known.
std::optional<Shares> SharesOf(const Face& face) {
  Shares shares{};
  double whole = 0.0;
  for (const Muscle& m : face.muscles) {
    if (!m.marbling_pct.Known()) return std::nullopt;
    const double area = report::OutlineArea(m.outline_px);
    Share& s = shares[static_cast<std::size_t>(m.name)];
    s.part += area;
    s.marbling += area * *m.marbling_pct.value;
    whole += area;
  }
  if (!(whole > 0.0)) return std::nullopt;
  for (Share& s : shares) {
    if (s.part > 0.0) s.marbling /= s.part;
    s.part /= whole;
  }
  return shares;
}

std::vector<Driver> DriversOf(const Face& first, const Face& second) {
  const auto a = SharesOf(first);
  const auto b = SharesOf(second);
  if (!a || !b) return {};
  std::vector<Driver> drivers;
  double sizes = 0.0;
  for (std::size_t i = 0; i < a->size(); ++i) {
    const Share& x = (*a)[i];
    const Share& y = (*b)[i];
    if (x.part > 0.0 && y.part > 0.0) {
      drivers.push_back({Joined({"the ", MuscleWords(static_cast<MuscleName>(i)), "'s marbling"}),
                         (x.part + y.part) / 2.0 * (y.marbling - x.marbling)});
      sizes += (x.marbling + y.marbling) / 2.0 * (y.part - x.part);
    } else {
      sizes += y.marbling * y.part - x.marbling * x.part;
    }
  }
  drivers.push_back({"the sizes of the muscles", sizes});
  std::stable_sort(drivers.begin(), drivers.end(), [](const Driver& x, const Driver& y) {
    return std::abs(x.points) > std::abs(y.points);
  });
  return drivers;
}

}  // namespace

Measured DifferenceOf(const Measured& first, const Measured& second) {
  if (!first.Known()) return Measured::Unknown(second.unit, "first: " + first.reason);
  if (!second.Known()) return Measured::Unknown(second.unit, "second: " + second.reason);
  const HalfWidths a = AtCommonLevel(first);
  const HalfWidths b = AtCommonLevel(second);
  const double d = *second.value - *first.value;
  return Measured::Of(d, d - std::hypot(b.down, a.up), d + std::hypot(b.up, a.down), second.unit,
                      "both intervals, taken as independent");
}

double OddsGreaterThanZero(const Measured& difference) {
  const double d = *difference.value;
  const double half = d > 0.0 ? d - difference.low : difference.high - d;
  if (half <= 0.0) return d > 0.0 ? 1.0 : d < 0.0 ? 0.0 : 0.5;
  return boost::math::cdf(boost::math::normal(), d / (half / Quantile(difference.level)));
}

Comparison CompareFaces(const Face& first, const Face& second, units::System units) {
  Comparison c;
  auto& list = c.differences;
  Add(list, "marbling_pct", "marbling of all muscles", first.marbling_pct, second.marbling_pct);
  for (const MuscleName name :
       {MuscleName::kLongissimus, MuscleName::kGluteusMedius, MuscleName::kSpinalis,
        MuscleName::kComplexus, MuscleName::kMultifidus, MuscleName::kRhomboideus}) {
    AddMuscle(list, name, first, second);
  }
  Add(list, "fat_share_pct", "all fat of the face", first.fat_share_pct, second.fat_share_pct);
  Add(list, "area", "area of the face", first.area, second.area);
  Add(list, "cover_mm_mean", "cover, mean", first.cover.mean, second.cover.mean);
  Add(list, "lean_L", "lightness L* of the lean", first.lean_colour.L, second.lean_colour.L);
  Add(list, "lean_a", "redness a* of the lean", first.lean_colour.a, second.lean_colour.a);
  Add(list, "fat_b", "yellowness b* of the fat", first.fat_colour.b, second.fat_colour.b);
  c.drivers = DriversOf(first, second);
  c.words = ComparisonWords(c, units);
  return c;
}

}  // namespace ribwright::programme
