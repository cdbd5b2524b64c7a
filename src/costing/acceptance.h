// SPDX-License-Identifier: Apache-2.0
// Acceptance sampling: how many pieces of a delivery to photograph, and what that tells.
//
// A plan is n pieces out of N, and c: the delivery is accepted when at most c of the n miss the
// claim. With D of N truly missing it, the number among the n is hypergeometric; without N (a long
// run) binomial. A judged photo errs: it shows a missing piece as missing with probability
// `sensitivity`, a good one as missing with 1 - `specificity`; a piece then counts with
// p' = p se + (1 - p)(1 - sp), independently (the mixture is taken exactly for finite N).
// Operating characteristic: the probability of acceptance for each true share.
//
// SmallestPlan computes the plan of least n (then least c) with
//   P(accept | good share) >= 1 - producer_risk  and  P(accept | bad share) <= consumer_risk
// in the manner of ISO 2859-1, computed and not copied from its tables. Errors: kDataUnusable,
// also where even photographing all pieces cannot do it. Thread-safe.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/result.h"

namespace ribwright::costing {

struct SamplingPlan {
  int sample = 0;   // n
  int allowed = 0;  // c
};

struct Lot {
  std::optional<int> pieces;  // N; none: a long run
  double sensitivity = 1.0;
  double specificity = 1.0;
};

// Share of pieces that truly miss the claim: for finite N, share x N is rounded to whole pieces.
Result<double> OddsAccept(const SamplingPlan& plan, const Lot& lot, double share);

struct PlanWish {
  double good_share = 0.02;
  double producer_risk = 0.05;
  double bad_share = 0.25;
  double consumer_risk = 0.10;
};
Result<SamplingPlan> SmallestPlan(const Lot& lot, const PlanWish& wish);

struct OcPoint {
  double share = 0.0;
  double odds_accept = 0.0;
};
Result<std::vector<OcPoint>> OperatingCharacteristic(const SamplingPlan& plan, const Lot& lot,
                                                     int points);

}  // namespace ribwright::costing
