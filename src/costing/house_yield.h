// SPDX-License-Identifier: Apache-2.0
// The house's own yield tests in place of published spreads, bit by bit.
//
// In the stretched scale z = ln(s / (1 - s)) of a share s, three levels, each normal:
//   house mean of an item     m   ~ N(published middle, b^2)     b: between houses
//   supplier within the item  m_s ~ N(m, w^2)                     w: between suppliers
//   one piece                 z   ~ N(m_s, r^2)                   r: between pieces
// b follows from the published interval (its width / 3.29, less r where that leaves something,
// at least 0.05), w = 0.10 (`assumed`). r starts at `piece_sd` (0.20, `assumed`, worth 4 tests) and
// moves to the scatter seen within suppliers: r^2 = (4 piece_sd^2 + sum of squares) / (4 + degrees
// of freedom). Given r and w all is linear: the mean of the supplier's next piece is the posterior
// mean, its spread is posterior doubt plus r; the interval uses Student's t with 4 + degrees of
// freedom, since r itself is estimated. No tests: the published spread comes back unchanged.
// Tests of other suppliers of the item count, less the further they are apart: shrinkage.
// Errors: kDataUnusable. Thread-safe.
#pragma once

#include <string>
#include <vector>

#include "base/result.h"
#include "costing/spread.h"

namespace ribwright::costing {

struct ShareTest {
  std::string supplier;
  double share = 0.0;  // 0 < share < 1
};

struct HousePrior {
  double supplier_sd = 0.10;
  double piece_sd = 0.20;
  double piece_worth = 4.0;  // tests
};

Result<Spread> NextPiece(const Spread& published, const std::vector<ShareTest>& tests,
                         const std::string& supplier, const HousePrior& prior = {});

}  // namespace ribwright::costing
