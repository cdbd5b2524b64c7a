// SPDX-License-Identifier: Apache-2.0
// Money: a whole number of the smallest unit of a currency, with that currency.
//
// No fractions, so sums and splits close to the last unit. A currency is its three letters and the
// number of decimals of its smallest unit (ISO 4217; the table holds the currencies that do not
// have two, status memory). Adding money of two currencies is the caller's fault: LogicError.
//
// SplitMoney shares a total by whole weights with the method of largest remainders: every share is
// the exact share rounded down, and the units left over go to the largest remainders (the first of
// equals). The shares sum to the total exactly; a negative total is split as its opposite.
// Thread-safe: plain data.
#pragma once

#include <compare>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace ribwright::units {

class Currency {
 public:
  // Three letters A to Z; nothing else is taken. Whether such a currency exists is not checked.
  static std::optional<Currency> FromText(std::string_view text);
  std::string_view text() const { return {letters_, 3}; }
  int decimals() const;
  friend bool operator==(const Currency& a, const Currency& b) { return a.text() == b.text(); }

 private:
  Currency() = default;
  char letters_[3] = {};
};

struct Money {
  std::int64_t minor = 0;
  Currency currency;
  friend bool operator==(const Money&, const Money&) = default;
};

Money operator+(const Money& a, const Money& b);
Money operator-(const Money& a, const Money& b);

// "EUR 12.34", "JPY 1200", "EUR -0.05".
std::string MoneyText(const Money& money);

// Weights are not negative and their sum is above zero and below 2^62, else LogicError.
std::vector<Money> SplitMoney(const Money& total, std::span<const std::int64_t> weights);

// part/whole of a total, rounded to the nearest unit, half away from zero; 0 <= part <= whole,
// whole > 0, else LogicError.
Money ShareOf(const Money& total, std::int64_t part, std::int64_t whole);

}  // namespace ribwright::units
