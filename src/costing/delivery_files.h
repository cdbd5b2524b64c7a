// SPDX-License-Identifier: Apache-2.0
// Files of receiving and of the week's order, read and answered (docs/format/trade.md):
// "ribwright.delivery/1" and "ribwright.week/1". Errors: kDataUnusable with the key's path.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "base/result.h"
#include "costing/menu_mix.h"
#include "costing/rank.h"
#include "costing/receiving.h"
#include "costing/week_order.h"

namespace ribwright::costing {

struct DeliveryFile {
  ReceivingRules rules;
  std::vector<ReceivedBox> boxes;
};
Result<DeliveryFile> ReadDelivery(std::string_view text, const std::string& name);
std::string DeliveryText(const DeliveryFinding& finding);

Result<std::vector<WeekNeed>> ReadWeek(std::string_view text, const std::string& name);
// By supplier, then dish.
std::string WeekText(std::vector<WeekOrder> orders);

// Columns dish, sold, price, food_cost.
Result<std::vector<MenuDish>> ReadMenu(std::string_view text, const std::string& name);
std::string MenuText(const MenuMix& mix);

std::string RankText(const std::vector<RankedOffer>& ranked);
std::string DifferenceText(const std::string& a, const std::string& b,
                           const PriceDifference& difference, const Measured& break_even);

}  // namespace ribwright::costing
