// SPDX-License-Identifier: Apache-2.0
#include "units/money.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <limits>
#include <numeric>

#include "base/check.h"

namespace ribwright::units {
namespace {

__extension__ using Wide = __int128;

// ISO 4217 currencies whose smallest unit is not a hundredth (memory).
constexpr std::array<std::string_view, 15> kWhole = {"BIF", "CLP", "DJF", "GNF", "ISK",
                                                     "JPY", "KMF", "KRW", "PYG", "RWF",
                                                     "UGX", "VND", "VUV", "XAF", "XPF"};
constexpr std::array<std::string_view, 7> kThousandths = {"BHD", "IQD", "JOD", "KWD",
                                                          "LYD", "OMR", "TND"};

std::int64_t Narrow(Wide value) {
  RIBWRIGHT_CHECK(value >= std::numeric_limits<std::int64_t>::min() &&
                  value <= std::numeric_limits<std::int64_t>::max());
  return static_cast<std::int64_t>(value);
}

}  // namespace

std::optional<Currency> Currency::FromText(std::string_view text) {
  if (text.size() != 3) return std::nullopt;
  Currency currency;
  for (std::size_t i = 0; i < 3; ++i) {
    if (text[i] < 'A' || text[i] > 'Z') return std::nullopt;
    currency.letters_[i] = text[i];
  }
  return currency;
}

int Currency::decimals() const {
  if (std::find(kWhole.begin(), kWhole.end(), text()) != kWhole.end()) return 0;
  return std::find(kThousandths.begin(), kThousandths.end(), text()) != kThousandths.end() ? 3 : 2;
}

Money operator+(const Money& a, const Money& b) {
  RIBWRIGHT_CHECK(a.currency == b.currency);
  return {Narrow(Wide{a.minor} + b.minor), a.currency};
}

Money operator-(const Money& a, const Money& b) {
  RIBWRIGHT_CHECK(a.currency == b.currency);
  return {Narrow(Wide{a.minor} - b.minor), a.currency};
}

std::string MoneyText(const Money& money) {
  const bool negative = money.minor < 0;
  const auto size = negative ? 0U - static_cast<std::uint64_t>(money.minor)
                             : static_cast<std::uint64_t>(money.minor);
  const int decimals = money.currency.decimals();
  std::uint64_t unit = 1;
  for (int i = 0; i < decimals; ++i) unit *= 10;
  std::string text =
      fmt::format("{} {}{}", money.currency.text(), negative ? "-" : "", size / unit);
  if (decimals > 0) text += fmt::format(".{:0{}}", size % unit, decimals);
  return text;
}

std::vector<Money> SplitMoney(const Money& total, std::span<const std::int64_t> weights) {
  Wide sum = 0;
  for (const std::int64_t weight : weights) {
    RIBWRIGHT_CHECK(weight >= 0);
    sum += weight;
  }
  RIBWRIGHT_CHECK(sum > 0 && sum < (Wide{1} << 62));
  const Wide size = total.minor < 0 ? -Wide{total.minor} : Wide{total.minor};
  std::vector<Wide> shares(weights.size());
  std::vector<Wide> remainders(weights.size());
  Wide left = size;
  for (std::size_t i = 0; i < weights.size(); ++i) {
    const Wide product = size * weights[i];
    shares[i] = product / sum;
    remainders[i] = product % sum;
    left -= shares[i];
  }
  std::vector<std::size_t> order(weights.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::stable_sort(order.begin(), order.end(),
                   [&](std::size_t a, std::size_t b) { return remainders[a] > remainders[b]; });
  for (std::size_t i = 0; left > 0; ++i, --left) shares[order[i]] += 1;
  std::vector<Money> result;
  result.reserve(weights.size());
  for (const Wide share : shares) {
    result.push_back({Narrow(total.minor < 0 ? -share : share), total.currency});
  }
  return result;
}

Money ShareOf(const Money& total, std::int64_t part, std::int64_t whole) {
  RIBWRIGHT_CHECK(whole > 0 && part >= 0 && part <= whole);
  const Wide size = total.minor < 0 ? -Wide{total.minor} : Wide{total.minor};
  const Wide share = (size * part * 2 + whole) / (Wide{2} * whole);
  return {Narrow(total.minor < 0 ? -share : share), total.currency};
}

}  // namespace ribwright::units
