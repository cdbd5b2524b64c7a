// SPDX-License-Identifier: Apache-2.0
// Mass: how much a thing weighs, as a whole number of milligrams.
//
// Whole numbers, so that sums over a tree of cuts close exactly and no gram appears or goes by
// rounding. Makers say their unit; there is no conversion from a plain number. FromGrams rounds to
// the nearest milligram (half away from zero) and wants a finite number of less than 1e12 g, else
// LogicError; what users give is checked at the door. 1 lb = 453.59237 g exactly (international
// yard and pound agreement, 1959). Thread-safe: plain data.
#pragma once

#include <cmath>
#include <compare>
#include <cstdint>
#include <string>

#include "base/check.h"

namespace ribwright::units {

inline constexpr double kGramsPerPound = 453.59237;  // exact

class Mass {
 public:
  constexpr Mass() = default;
  static constexpr Mass FromMilligrams(std::int64_t mg) { return Mass(mg); }
  static Mass FromGrams(double grams) {
    RIBWRIGHT_CHECK(std::isfinite(grams) && std::fabs(grams) < 1e12);
    return Mass(std::llround(grams * 1000.0));
  }
  static Mass FromKilograms(double kilograms) { return FromGrams(kilograms * 1000.0); }

  constexpr std::int64_t milligrams() const { return mg_; }
  constexpr double grams() const { return static_cast<double>(mg_) / 1000.0; }

  friend constexpr auto operator<=>(Mass, Mass) = default;
  friend constexpr Mass operator+(Mass a, Mass b) { return Mass(a.mg_ + b.mg_); }
  friend constexpr Mass operator-(Mass a, Mass b) { return Mass(a.mg_ - b.mg_); }
  constexpr Mass operator-() const { return Mass(-mg_); }
  constexpr Mass& operator+=(Mass other) {
    mg_ += other.mg_;
    return *this;
  }
  constexpr Mass& operator-=(Mass other) {
    mg_ -= other.mg_;
    return *this;
  }

 private:
  explicit constexpr Mass(std::int64_t mg) : mg_(mg) {}
  std::int64_t mg_ = 0;
};

// "1234 g", "0.5 g", "-12.25 g": every digit that is there, no more.
std::string GramsText(Mass mass);

}  // namespace ribwright::units
