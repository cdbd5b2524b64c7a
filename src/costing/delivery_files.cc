// SPDX-License-Identifier: Apache-2.0
#include "costing/delivery_files.h"

#include <fmt/format.h>

#include <algorithm>

#include "base/csv.h"
#include "costing/json_in.h"
#include "units/format.h"

namespace ribwright::costing {
namespace {

std::optional<units::Day> DayIn(JsonIn& in, std::string_view key, bool needed) {
  const std::string text = needed ? in.NeededText(key) : in.Text(key);
  if (text.empty()) return std::nullopt;
  const auto day = units::DayFromText(text);
  if (!day) in.Refuse("This is no day.", key, "Write it as 2026-03-01.");
  return day ? std::optional(*day) : std::nullopt;
}

Status Named(std::optional<Error>& fault, const std::string& name) {
  if (!fault) return {};
  fault->where = name + ": " + fault->where;
  return Fail(*fault);
}

ReceivedBox BoxIn(JsonIn& in) {
  ReceivedBox box;
  box.name = in.NeededText("name");
  box.invoiced = in.NeededMass("invoiced");
  box.weighed = in.NeededMass("weighed");
  box.tolerance = in.NeededMass("scale_tolerance");
  box.price_per_kg = in.PricePerKg("price", true);
  if (in.Has("core_c")) box.core_c = in.Number("core_c", 0.0);
  box.bag_leaks = in.Flag("bag_leaks");
  box.purge = in.Mass("purge");
  box.lot = in.Text("lot");
  box.establishment = in.Text("establishment");
  box.slaughtered = DayIn(in, "slaughtered", false);
  box.packed = DayIn(in, "packed", false);
  box.use_by = DayIn(in, "use_by", false);
  return box;
}

}  // namespace

Result<DeliveryFile> ReadDelivery(std::string_view text, const std::string& name) {
  const auto json = ParseObject(text, name);
  if (!json) return Fail(json.error());
  std::optional<Error> fault;
  JsonIn in(*json, "", fault);
  if (in.NeededText("schema") != "ribwright.delivery/1") {
    in.Refuse("This is not a delivery.", "schema", R"(Write "ribwright.delivery/1".)");
  }
  DeliveryFile file;
  file.rules.currency = in.Currency("currency");
  file.rules.today = DayIn(in, "today", true).value_or(units::Day{});
  if (in.Has("core_limit_c")) file.rules.core_limit_c = in.Number("core_limit_c", 0.0);
  file.rules.limit_source = in.Text("core_limit_source");
  file.rules.purge_allowed = in.Number("purge_allowed", file.rules.purge_allowed);
  in.Each("boxes", true, [&](JsonIn& one) { file.boxes.push_back(BoxIn(one)); });
  in.Finish();
  if (const Status fine = Named(fault, name); !fine) return Fail(fine.error());
  return file;
}

std::string DeliveryText(const DeliveryFinding& finding) {
  std::string text = fmt::format("Delivery: {}; credit due {}\n", VerdictText(finding.verdict),
                                 units::MoneyText(finding.credit));
  for (const BoxFinding& box : finding.boxes) {
    text += fmt::format("  {}: {}, credit {}\n", box.name, VerdictText(box.verdict),
                        units::MoneyText(box.credit));
    for (const std::string& reason : box.reasons) text += "    " + reason + "\n";
    for (const std::string& left : box.not_checked) text += "    not checked: " + left + "\n";
  }
  return text + "This says what was delivered, not that it is safe.\n";
}

Result<std::vector<WeekNeed>> ReadWeek(std::string_view text, const std::string& name) {
  const auto json = ParseObject(text, name);
  if (!json) return Fail(json.error());
  std::optional<Error> fault;
  JsonIn in(*json, "", fault);
  if (in.NeededText("schema") != "ribwright.week/1") {
    in.Refuse("This is not a week's plan.", "schema", R"(Write "ribwright.week/1".)");
  }
  const double covers = in.NeededNumber("covers");
  std::vector<WeekNeed> needs;
  in.Each("dishes", true, [&](JsonIn& one) {
    WeekNeed need;
    need.dish = one.NeededText("dish");
    need.supplier = one.NeededText("supplier");
    need.covers = one.Number("covers", covers);
    need.short_cost = one.NeededNumber("margin");
    need.over_cost = one.NeededNumber("left_over_cost");
    need.raw_portion = one.NeededMass("raw_portion");
    need.yield = one.NeededNumber("yield");
    need.piece = one.NeededMass("piece");
    need.stock_portions = one.Number("stock_portions", 0.0);
    one.Each("history", true, [&](JsonIn& week) {
      need.history.push_back({week.NeededNumber("covers"), week.NeededNumber("portions")});
    });
    needs.push_back(std::move(need));
  });
  in.Finish();
  if (const Status fine = Named(fault, name); !fine) return Fail(fine.error());
  return needs;
}

std::string WeekText(std::vector<WeekOrder> orders) {
  std::stable_sort(orders.begin(), orders.end(),
                   [](const WeekOrder& a, const WeekOrder& b) { return a.supplier < b.supplier; });
  std::string text;
  std::string supplier;
  for (const WeekOrder& order : orders) {
    if (text.empty() || order.supplier != supplier) text += order.supplier + "\n";
    supplier = order.supplier;
    text += fmt::format(
        "  {}: have {} portions (past weeks {} to {}; enough in {} % of them); buy {} pieces, {} "
        "kg\n",
        order.dish, order.portions, units::Fixed(order.demand.low, 0),
        units::Fixed(order.demand.high, 0), units::Fixed(100.0 * order.odds_enough, 0),
        order.pieces, units::Fixed(order.kg, 1));
  }
  return text;
}

Result<std::vector<MenuDish>> ReadMenu(std::string_view text, const std::string& name) {
  const auto table = CsvTable::Parse(text, name);
  if (!table) return Fail(table.error());
  std::vector<std::size_t> columns;
  for (const char* column : {"dish", "sold", "price", "food_cost"}) {
    const auto at = table->RequiredColumn(column);
    if (!at) return Fail(at.error());
    columns.push_back(*at);
  }
  std::vector<MenuDish> dishes;
  for (std::size_t row = 0; row < table->rows(); ++row) {
    MenuDish dish;
    dish.name = table->Cell(row, columns[0]);
    double* const into[] = {&dish.sold, &dish.price, &dish.food_cost};
    for (std::size_t i = 0; i < 3; ++i) {
      const auto number = table->Number(row, columns[i + 1]);
      if (!number) return Fail(number.error());
      *into[i] = *number;
    }
    dishes.push_back(std::move(dish));
  }
  return dishes;
}

std::string MenuText(const MenuMix& mix) {
  std::string text =
      fmt::format("{} portions, revenue {}, food cost {} ({} %), margin {}, {} a portion\n\n",
                  units::Fixed(mix.sold, 0), units::Fixed(mix.revenue, 2),
                  units::Fixed(mix.food_cost, 2), units::Fixed(mix.FoodCostPct(), 1),
                  units::Fixed(mix.margin, 2), units::Fixed(mix.average_margin, 2));
  for (const DishMix& dish : mix.dishes) text += "  " + MixSentence(dish, mix) + "\n";
  return text;
}

std::string RankText(const std::vector<RankedOffer>& ranked) {
  std::string text = fmt::format("{:<34}{:>10}{:>12}   {}\n", "offer", "cheapest", "per 100 g",
                                 "nine times in ten");
  for (const RankedOffer& offer : ranked) {
    text += fmt::format("{:<34}{:>8} %{:>12}   {} to {} {}\n", offer.name,
                        units::Fixed(100.0 * offer.odds_cheapest, 0),
                        units::Fixed(*offer.per_100g.value, 2), units::Fixed(offer.per_100g.low, 2),
                        units::Fixed(offer.per_100g.high, 2), offer.per_100g.unit);
  }
  return text;
}

std::string DifferenceText(const std::string& a, const std::string& b,
                           const PriceDifference& difference, const Measured& break_even) {
  std::string text = fmt::format("{} costs {} per kg more than {}, landed. Of that\n", b,
                                 units::Fixed(difference.total_per_kg, 2), a);
  for (const ExplainedPart& part : difference.parts) {
    text +=
        fmt::format("  {:<24}{:>9}   {}\n", part.name, units::Fixed(part.per_kg, 2), part.source);
  }
  text += fmt::format("  {:<24}{:>9}\n", "not explained",
                      units::Fixed(difference.unexplained_per_kg, 2));
  text += fmt::format("Both cost the same on the plate when {} costs {} ({} to {}) {}\n", b,
                      units::Fixed(*break_even.value, 2), units::Fixed(break_even.low, 2),
                      units::Fixed(break_even.high, 2), break_even.unit);
  return text;
}

}  // namespace ribwright::costing
