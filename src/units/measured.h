// SPDX-License-Identifier: Apache-2.0
// Measured: one number with its doubt, the `Q` of every report.
//
// value, low, high share one unit; [low, high] is the interval that holds the truth at probability
// `level`. `basis` says in a few words how the interval was made ("model of blur and light, checked
// on phantoms", "published spread"). A number that cannot be known has no value and carries
// `reason`. Invariants (Valid()): finite, low <= value <= high, 0 < level < 1, unit and basis not
// empty; or no value and a reason. Thread-safe: plain data.
#pragma once

#include <cmath>
#include <optional>
#include <string>
#include <utility>

namespace ribwright {

struct Measured {
  std::optional<double> value;
  double low = 0.0;
  double high = 0.0;
  double level = 0.9;
  std::string unit;
  std::string basis;
  std::string reason;  // why there is no value; empty otherwise

  static Measured Of(double value, double low, double high, std::string unit, std::string basis) {
    Measured m;
    m.value = value;
    m.low = low;
    m.high = high;
    m.unit = std::move(unit);
    m.basis = std::move(basis);
    return m;
  }
  // An exact value (phantom truth): low = value = high.
  static Measured Exact(double value, std::string unit, std::string basis = "exact") {
    return Of(value, value, value, std::move(unit), std::move(basis));
  }
  static Measured Unknown(std::string unit, std::string reason) {
    Measured m;
    m.unit = std::move(unit);
    m.reason = std::move(reason);
    return m;
  }
  bool Known() const { return value.has_value(); }
  bool Valid() const {
    if (unit.empty()) return false;
    if (!value) return !reason.empty();
    return std::isfinite(*value) && std::isfinite(low) && std::isfinite(high) && low <= *value &&
           *value <= high && level > 0.0 && level < 1.0 && !basis.empty();
  }
};

}  // namespace ribwright
