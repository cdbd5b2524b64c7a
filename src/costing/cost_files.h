// SPDX-License-Identifier: Apache-2.0
// The files of the costing layer, read and answered (docs/format/trade.md): a served-cost chain, a
// yield-test card, a list of joint products. Each answer exists as JSON and as plain text for a
// terminal of 80 columns. Errors: kDataUnusable with the key's path, and those of the computation.
#pragma once

#include <string>
#include <string_view>

#include "base/result.h"
#include "costing/joint_cost.h"
#include "costing/served_cost.h"
#include "costing/yield_card.h"

namespace ribwright::costing {

// "schema": "ribwright.chain/1".
Result<ServedChain> ReadChain(std::string_view text, const std::string& name);
std::string ServedCostJson(const ServedChain& chain, const ServedCost& cost, const DrawPlan& plan);
std::string ServedCostText(const ServedChain& chain, const ServedCost& cost);

// "schema": "ribwright.yield_test/1".
struct YieldFile {
  YieldCard card;
  std::optional<CookingCard> cooking;
  std::optional<units::Mass> portion;
  std::optional<double> new_price_per_kg;
};
struct YieldAnswer {
  YieldResult butchery;
  std::optional<CookingResult> cooking;
  std::optional<PortionAtNewPrice> at_new_price;
};
Result<YieldFile> ReadYieldFile(std::string_view text, const std::string& name);
Result<YieldAnswer> AnswerYield(const YieldFile& file);
std::string YieldJson(const YieldFile& file, const YieldAnswer& answer);
std::string YieldText(const YieldFile& file, const YieldAnswer& answer);

// "schema": "ribwright.joint_cost/1".
struct JointFile {
  units::Money total{0, *units::Currency::FromText("EUR")};
  std::vector<JointProduct> products;
};
Result<JointFile> ReadJointFile(std::string_view text, const std::string& name);
std::string JointJson(const JointFile& file, const std::vector<JointShare>& shares);
std::string JointText(const JointFile& file, const std::vector<JointShare>& shares);

}  // namespace ribwright::costing
