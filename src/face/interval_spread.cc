// SPDX-License-Identifier: Apache-2.0
#include "face/interval_spread.h"

#include <algorithm>

#include "face/interval_spread_fitted.h"

namespace ribwright::face {

Measured WithFittedInterval(SpreadOf what, const Measured& assumed, const SpreadCauses& causes) {
  const FittedSpread& fit = kFittedSpreads[static_cast<std::size_t>(what)];
  if (!assumed.Known() || fit.cases == 0) return assumed;
  const double value = *assumed.value;
  const auto x = CauseVector(what, value, causes);
  double log_scale = 0.0;
  for (std::size_t i = 0; i < x.size(); ++i) log_scale += fit.b[i] * x[i];
  const double scale = std::exp(log_scale);
  const SpreadRule& rule = kSpreadRules[static_cast<std::size_t>(what)];
  const double low = std::clamp(value - fit.above * scale, std::min(rule.least, value), value);
  const double high = std::clamp(value - fit.below * scale, value, std::max(rule.most, value));
  return Measured::Of(value, low, high, assumed.unit, "spread fitted on phantoms");
}

}  // namespace ribwright::face
