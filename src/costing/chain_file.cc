// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include "costing/amount.h"
#include "costing/cost_files.h"
#include "costing/json_in.h"
#include "costing/published_yields.h"
#include "units/format.h"

namespace ribwright::costing {
namespace {

StagePart ReadPart(JsonIn& in) {
  StagePart part;
  part.name = in.NeededText("name");
  part.share = in.SpreadOf("share", Spread::Exact(0.0));
  if (!in.Has("share")) in.Refuse("A share is missing.", "share", "Give 0 to below 1.");
  part.value_per_kg = in.SpreadOf("value_per_kg", Spread::Exact(0.0));
  return part;
}

void ReadPublished(JsonIn& in, ServedChain& chain) {
  in.Object("cutting", [&](JsonIn& cutting) {
    const std::string cut = cutting.NeededText("cut");
    const std::string ageing = cutting.NeededText("ageing");
    const double days = cutting.NeededNumber("days");
    auto stages = PublishedStages(cut, ageing, static_cast<int>(days));
    if (!stages) return cutting.Refuse(stages.error());
    for (Stage& stage : *stages) chain.stages.push_back(std::move(stage));
  });
  in.Object("cooking", [&](JsonIn& cooking) {
    const std::string cut = cooking.NeededText("cut");
    auto stage = PublishedCooking(cut, cooking.NeededText("method"));
    if (!stage) return cooking.Refuse(stage.error());
    chain.stages.push_back(std::move(*stage));
  });
}

nlohmann::ordered_json Q(const Measured& m) {
  return {{"value", *m.value}, {"low", m.low},   {"high", m.high},
          {"level", m.level},  {"unit", m.unit}, {"basis", m.basis}};
}

}  // namespace

Result<ServedChain> ReadChain(std::string_view text, const std::string& name) {
  const auto json = ParseObject(text, name);
  if (!json) return Fail(json.error());
  std::optional<Error> fault;
  JsonIn in(*json, "", fault);
  if (in.NeededText("schema") != "ribwright.chain/1") {
    in.Refuse("This is not a chain.", "schema", R"(Write "schema": "ribwright.chain/1".)");
  }
  ServedChain chain;
  chain.name = in.NeededText("name");
  chain.currency = in.Currency("currency");
  chain.purchased = in.NeededMass("purchased");
  chain.price_per_kg = Spread::Exact(in.PricePerKg("price", true), Origin::kQuoted, "the offer");
  chain.freight_per_kg = in.SpreadOf("freight_per_kg", Spread::Exact(0.0));
  chain.minutes = in.SpreadOf("minutes", Spread::Exact(0.0));
  chain.wage_per_hour = in.SpreadOf("wage_per_hour", Spread::Exact(0.0));
  chain.days_held = in.SpreadOf("days_held", Spread::Exact(0.0));
  chain.holding_per_kg_day = in.SpreadOf("holding_per_kg_day", Spread::Exact(0.0));
  chain.portion = in.Mass("portion");
  in.Object("published", [&](JsonIn& published) { ReadPublished(published, chain); });
  in.Each("stages", false, [&](JsonIn& one) {
    Stage stage;
    stage.name = one.NeededText("name");
    one.Each("parts", true, [&](JsonIn& part) { stage.parts.push_back(ReadPart(part)); });
    chain.stages.push_back(std::move(stage));
  });
  in.Finish();
  if (fault) {
    fault->where = name + ": " + fault->where;
    return Fail(*fault);
  }
  if (const Status fine = CheckChain(chain); !fine) return Fail(fine.error());
  return chain;
}

std::string ServedCostJson(const ServedChain& chain, const ServedCost& cost, const DrawPlan& plan) {
  nlohmann::ordered_json json = {{"schema", "ribwright.served_cost/1"},
                                 {"name", chain.name},
                                 {"currency", std::string(chain.currency.text())},
                                 {"draws", plan.draws},
                                 {"seed", plan.seed},
                                 {"per_100g", Q(cost.per_100g)},
                                 {"served_yield", Q(cost.served_yield)},
                                 {"mean_per_kg", cost.mean_per_kg}};
  if (cost.per_portion) json["per_portion"] = Q(*cost.per_portion);
  for (const CostLine& line : cost.lines) {
    json["waterfall"].push_back({{"name", line.name},
                                 {"per_served_kg_mean", line.per_kg},
                                 {"origin", OriginText(line.origin)},
                                 {"source", line.source}});
  }
  json["tornado"] = nlohmann::ordered_json::array();
  for (const CostSwing& swing : cost.tornado) {
    json["tornado"].push_back({{"name", swing.name},
                               {"at_low", swing.at_low},
                               {"at_high", swing.at_high},
                               {"origin", OriginText(swing.origin)},
                               {"source", swing.source}});
  }
  return json.dump(2) + "\n";
}

std::string ServedCostText(const ServedChain& chain, const ServedCost& cost) {
  std::string text =
      fmt::format("{}: {} as purchased\n", chain.name, units::GramsText(chain.purchased));
  const auto line = [&](const char* name, const Measured& m, int decimals) {
    text += fmt::format("  {:<22}{:>9}   {} to {}  {}\n", name, units::Fixed(*m.value, decimals),
                        units::Fixed(m.low, decimals), units::Fixed(m.high, decimals), m.unit);
  };
  line("served, per 100 g", cost.per_100g, 2);
  if (cost.per_portion) {
    line(fmt::format("portion of {}", units::GramsText(*chain.portion)).c_str(), *cost.per_portion,
         2);
  }
  Measured share = cost.served_yield;
  share = Measured::Of(100.0 * *share.value, 100.0 * share.low, 100.0 * share.high,
                       "% of what was bought", share.basis);
  line("served", share, 1);
  text += fmt::format("\nWhere the money goes ({} per served kg, mean)\n", chain.currency.text());
  std::vector<double> parts;
  for (const CostLine& one : cost.lines) parts.push_back(one.per_kg);
  const auto rounded = RoundToTotal(parts, chain.currency);
  for (std::size_t i = 0; i < rounded.size(); ++i) {
    const CostLine& one = cost.lines[i];
    if (rounded[i].minor == 0 && one.source.empty()) continue;
    text += fmt::format(
        "  {:<22}{:>14}   {}\n", one.name, units::MoneyText(rounded[i]),
        one.source.empty() ? "" : fmt::format("{}: {}", OriginText(one.origin), one.source));
  }
  text += fmt::format("  {:<22}{:>14}\n", "in all",
                      units::MoneyText(RoundToMoney(cost.mean_per_kg, chain.currency)));
  if (!cost.tornado.empty())
    text += "\nWhat matters most (per served kg, from its low to its high)\n";
  for (std::size_t i = 0; i < cost.tornado.size() && i < 8; ++i) {
    const CostSwing& s = cost.tornado[i];
    text += fmt::format("  {:<28}{:>8} to {:>8}   {}\n", s.name, units::Fixed(s.at_low, 2),
                        units::Fixed(s.at_high, 2), OriginText(s.origin));
  }
  return text;
}

}  // namespace ribwright::costing
