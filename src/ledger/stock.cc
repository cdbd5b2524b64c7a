// SPDX-License-Identifier: Apache-2.0
#include "ledger/stock.h"

#include <algorithm>

#include "base/check.h"

namespace ribwright::ledger {

using units::Mass;
using units::Money;

CountedLine CompareWithCount(const Piece& before, std::optional<Mass> found, std::string reason) {
  CountedLine line;
  line.piece = before.id;
  line.code = before.code;
  line.ledger = before.mass;
  line.ledger_location = before.location;
  line.found = found;
  // What an earlier count did not find is not in the books: finding it is a gain.
  const Mass books = before.state == PieceState::kMissing ? Mass() : before.mass;
  line.variance = found.value_or(Mass()) - books;
  line.reason = std::move(reason);
  if (before.cost) {
    const bool more = line.variance > Mass();
    // A gain is worth what was lost before, at most: money does not come from a scale.
    const Mass lost = more ? std::min(line.variance, before.mass - books) : -line.variance;
    const std::int64_t whole = before.mass.milligrams();
    Money value{0, before.cost->currency};
    if (whole > 0) value = units::ShareOf(*before.cost, lost.milligrams(), whole);
    if (!more) value.minor = -value.minor;
    line.money_variance = value;
  }
  return line;
}

void SumUp(StockCount& count) {
  count.variance = Mass();
  count.money_variance.clear();
  count.lines_without_cost = 0;
  for (const CountedLine& line : count.lines) {
    count.variance += line.variance;
    if (!line.money_variance) {
      ++count.lines_without_cost;
      continue;
    }
    const auto same = std::find_if(
        count.money_variance.begin(), count.money_variance.end(),
        [&](const Money& money) { return money.currency == line.money_variance->currency; });
    if (same == count.money_variance.end()) {
      count.money_variance.push_back(*line.money_variance);
    } else {
      *same = *same + *line.money_variance;
    }
  }
}

int AgeDays(units::UtcTime since, units::UtcTime now) {
  return static_cast<int>(std::max<std::int64_t>(0, (now - since).count() / 86'400'000));
}

std::size_t AgeBandOf(int days) {
  RIBWRIGHT_CHECK(days >= 0);
  const auto band = std::find_if(kAgeBandDays.begin(), kAgeBandDays.end(),
                                 [&](int upper) { return days <= upper; });
  return static_cast<std::size_t>(band - kAgeBandDays.begin());
}

}  // namespace ribwright::ledger
