// SPDX-License-Identifier: Apache-2.0
// Spread: a quantity that is not known exactly, given by three points: the middle (half of the
// cases lie below) and the ends of the interval that holds nine cases in ten.
//
// Between and beyond those points a normal law in a stretched scale, its width on each side of the
// middle its own:
//   share (0..1)     z(x) = ln(x / (1 - x))     so that no draw leaves 0..1
//   amount (> 0)     z(x) = ln(x)               prices, minutes, masses
//   x = z^-1(z(mid) + w n),  n standard normal,  w = (z(mid) - z(low)) / 1.6449 below the middle,
//                                                   (z(high) - z(mid)) / 1.6449 above it
// The shape is `assumed`; the three points come from the house's tests, a published table or an
// assumption, and `origin` says which. Exact values (low = middle = high) may be 0; others must
// have low > 0, and a share high < 1: refused with kDataUnusable, never cut.
//
// Drawing goes through a table of the quantile function (kCells cells, straight lines between), so
// that a draw costs a few nanoseconds; beyond the outermost 1/4096 on each side the last value
// stands. Spreads of one `stream` draw the same luck in the same draw. Thread-safe.
#pragma once

#include <array>
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "base/result.h"

namespace ribwright::costing {

enum class Origin { kOwn, kPublished, kAssumed, kQuoted };
std::string_view OriginText(Origin origin);  // "own", "published", "assumed", "quoted"
Result<Origin> OriginFromText(std::string_view text);

enum class Scale { kShare, kAmount };

struct Spread {
  double mid = 0.0;
  double low = 0.0;
  double high = 0.0;
  Origin origin = Origin::kAssumed;
  std::string source;  // "12 tests of this house", a key of docs/references.csv, or words
  std::string stream;  // empty: a stream of its own, named by who draws

  bool exact() const { return low == high; }
  static Spread Exact(double value, Origin origin = Origin::kQuoted, std::string source = {}) {
    return {value, value, value, origin, std::move(source), {}};
  }
};

// Whether `spread` can be drawn on `scale`; `where` names it in the error.
Status CheckSpread(const Spread& spread, Scale scale, std::string_view where);

// The quantile at 0 < u < 1, exactly.
double QuantileOf(const Spread& spread, Scale scale, double u);

class DrawTable {
 public:
  static constexpr int kCells = 1024;
  // The spread must pass CheckSpread.
  DrawTable(const Spread& spread, Scale scale);
  double At(double u) const {
    const double place = u * kCells;
    const auto cell = static_cast<std::size_t>(place);
    return knots_[cell] + (place - static_cast<double>(cell)) * (knots_[cell + 1] - knots_[cell]);
  }

 private:
  std::array<double, kCells + 2> knots_;
};

// The standard normal's quantile, 0 < u < 1 (Boost.Math).
double NormalQuantile(double u);

}  // namespace ribwright::costing
