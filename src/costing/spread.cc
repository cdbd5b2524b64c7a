// SPDX-License-Identifier: Apache-2.0
#include "costing/spread.h"

#include <fmt/format.h>

#include <boost/math/special_functions/erf.hpp>
#include <cmath>

#include "base/check.h"

namespace ribwright::costing {
namespace {

constexpr double kZ90 = 1.6448536269514722;  // the normal's 95 % point

double ToScale(double x, Scale scale) {
  return scale == Scale::kShare ? std::log(x) - std::log1p(-x) : std::log(x);
}
double FromScale(double z, Scale scale) {
  return scale == Scale::kShare ? 1.0 / (1.0 + std::exp(-z)) : std::exp(z);
}

struct Stretched {
  double mid;
  double below;
  double above;
};
Stretched Stretch(const Spread& s, Scale scale) {
  const double mid = ToScale(s.mid, scale);
  return {mid, (mid - ToScale(s.low, scale)) / kZ90, (ToScale(s.high, scale) - mid) / kZ90};
}

double ValueAt(const Stretched& s, Scale scale, double n) {
  return FromScale(s.mid + n * (n < 0.0 ? s.below : s.above), scale);
}

// Normal quantiles of the table's knots; the same for every table.
const std::array<double, DrawTable::kCells + 2>& KnotNormals() {
  static const auto knots = [] {
    std::array<double, DrawTable::kCells + 2> z{};
    constexpr double kEnd = 1.0 / 4096.0;
    for (int i = 0; i <= DrawTable::kCells; ++i) {
      const double u = static_cast<double>(i) / DrawTable::kCells;
      z[static_cast<std::size_t>(i)] = NormalQuantile(std::min(std::max(u, kEnd), 1.0 - kEnd));
    }
    z[DrawTable::kCells + 1] = z[DrawTable::kCells];
    return z;
  }();
  return knots;
}

}  // namespace

double NormalQuantile(double u) {
  RIBWRIGHT_CHECK(u > 0.0 && u < 1.0);
  return -std::sqrt(2.0) * boost::math::erfc_inv(2.0 * u);
}

std::string_view OriginText(Origin origin) {
  switch (origin) {
    case Origin::kOwn:
      return "own";
    case Origin::kPublished:
      return "published";
    case Origin::kAssumed:
      return "assumed";
    case Origin::kQuoted:
      return "quoted";
  }
  RIBWRIGHT_CHECK(false);
  return {};
}

Result<Origin> OriginFromText(std::string_view text) {
  for (const Origin origin :
       {Origin::kOwn, Origin::kPublished, Origin::kAssumed, Origin::kQuoted}) {
    if (OriginText(origin) == text) return origin;
  }
  return Fail(Code::kDataUnusable, fmt::format("\"{}\" is no origin of a number.", text), "origin",
              "Write own, published, assumed or quoted.");
}

Status CheckSpread(const Spread& spread, Scale scale, std::string_view where) {
  const auto refuse = [&](std::string message, std::string mend) {
    return Fail(Code::kDataUnusable, std::move(message), std::string(where), std::move(mend));
  };
  if (!std::isfinite(spread.mid) || !std::isfinite(spread.low) || !std::isfinite(spread.high)) {
    return refuse("A number is missing or not finite.", "Give low, mid and high as numbers.");
  }
  if (!(spread.low <= spread.mid && spread.mid <= spread.high)) {
    return refuse(
        fmt::format("The points {}, {}, {} do not rise.", spread.low, spread.mid, spread.high),
        "Give low <= mid <= high.");
  }
  if (spread.low < 0.0) return refuse("The number is below zero.", "Give zero or more.");
  if (spread.exact()) {
    if (scale == Scale::kShare && spread.high >= 1.0) {
      return refuse("A share of 1 or more leaves nothing.", "Give shares as 0 to below 1.");
    }
    return {};
  }
  if (spread.low == 0.0) {
    return refuse("The interval begins at zero.", "Give a low above zero, as 0.0001.");
  }
  if (spread.low == spread.mid || spread.mid == spread.high) {
    return refuse("The middle stands at an end of the interval.",
                  "Give low < mid < high, or all three alike.");
  }
  if (scale == Scale::kShare && spread.high >= 1.0) {
    return refuse("A share reaches 1.", "Give shares as 0 to below 1.");
  }
  return {};
}

double QuantileOf(const Spread& spread, Scale scale, double u) {
  if (spread.exact()) return spread.mid;
  return ValueAt(Stretch(spread, scale), scale, NormalQuantile(u));
}

DrawTable::DrawTable(const Spread& spread, Scale scale) {
  if (spread.exact()) {
    knots_.fill(spread.mid);
    return;
  }
  const Stretched stretched = Stretch(spread, scale);
  const auto& normals = KnotNormals();
  for (std::size_t i = 0; i < knots_.size(); ++i) knots_[i] = ValueAt(stretched, scale, normals[i]);
}

}  // namespace ribwright::costing
