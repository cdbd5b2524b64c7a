// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include "costing/amount.h"
#include "costing/cost_files.h"
#include "costing/json_in.h"
#include "units/format.h"

namespace ribwright::costing {
namespace {

Status Named(std::optional<Error>& fault, const std::string& name) {
  if (!fault) return {};
  fault->where = name + ": " + fault->where;
  return Fail(*fault);
}

PartRole RoleOf(JsonIn& in) {
  const std::string text = in.NeededText("role");
  if (text == "main") return PartRole::kMain;
  if (text == "by_product") return PartRole::kByProduct;
  if (text != "loss") {
    in.Refuse("This is no role of a part.", "role", "Write main, by_product or loss.");
  }
  return PartRole::kLoss;
}

std::string CostLines(const char* title, const PartCost& with, const PartCost& without,
                      const YieldFile& file) {
  std::string text = fmt::format("{}\n  {:<26}{:>14}{:>14}\n", title, "", "with credit", "without");
  text += fmt::format("  {:<26}{:>14}{:>14}\n", "per kg",
                      AmountText(with.cost_per_kg, file.card.currency, 2),
                      AmountText(without.cost_per_kg, file.card.currency, 2));
  text += fmt::format("  {:<26}{:>14}{:>14}\n", "per lb",
                      AmountText(with.cost_per_kg * kKgPerPound, file.card.currency, 3),
                      AmountText(without.cost_per_kg * kKgPerPound, file.card.currency, 3));
  text += fmt::format("  {:<26}{:>14}{:>14}\n", "cost factor", units::Fixed(with.factor, 4),
                      units::Fixed(without.factor, 4));
  if (file.portion) {
    text += fmt::format("  {:<26}{:>14}{:>14}\n",
                        fmt::format("portion of {}", units::GramsText(*file.portion)),
                        AmountText(with.CostOf(*file.portion), file.card.currency, 2),
                        AmountText(without.CostOf(*file.portion), file.card.currency, 2));
  }
  return text;
}

nlohmann::ordered_json CostJson(const PartCost& cost, const YieldFile& file) {
  nlohmann::ordered_json json = {{"per_kg", cost.cost_per_kg},
                                 {"per_lb", cost.cost_per_kg * kKgPerPound},
                                 {"factor", cost.factor}};
  if (file.portion) json["per_portion"] = cost.CostOf(*file.portion);
  return json;
}

}  // namespace

Result<YieldFile> ReadYieldFile(std::string_view text, const std::string& name) {
  const auto json = ParseObject(text, name);
  if (!json) return Fail(json.error());
  std::optional<Error> fault;
  JsonIn in(*json, "", fault);
  if (in.NeededText("schema") != "ribwright.yield_test/1") {
    in.Refuse("This is not a yield test.", "schema",
              R"(Write "schema": "ribwright.yield_test/1".)");
  }
  YieldFile file;
  file.card.name = in.NeededText("name");
  file.card.currency = in.Currency("currency");
  file.card.purchased = in.NeededMass("purchased");
  file.card.price_per_kg = in.PricePerKg("price", true);
  file.card.tolerance = in.Mass("tolerance");
  in.Each("parts", true, [&](JsonIn& one) {
    YieldPart part;
    part.name = one.NeededText("name");
    part.mass = one.NeededMass("mass");
    part.role = RoleOf(one);
    part.value_per_kg = one.PricePerKg("value", false);
    file.card.parts.push_back(std::move(part));
  });
  in.Object("cooking", [&](JsonIn& one) {
    file.cooking = CookingCard{one.NeededMass("raw"), one.NeededMass("cooked"),
                               one.Mass("trimmed_after").value_or(units::Mass())};
  });
  file.portion = in.Mass("portion");
  if (in.Has("new_price")) file.new_price_per_kg = in.PricePerKg("new_price", true);
  in.Finish();
  if (const Status fine = Named(fault, name); !fine) return Fail(fine.error());
  if (file.portion && *file.portion <= units::Mass()) {
    return Fail(Code::kDataUnusable, "The portion weighs nothing.", name + ": portion",
                "Give a portion above 0 g.");
  }
  return file;
}

Result<YieldAnswer> AnswerYield(const YieldFile& file) {
  const auto butchery = EvaluateYield(file.card);
  if (!butchery) return Fail(butchery.error());
  YieldAnswer answer{*butchery, {}, {}};
  if (file.cooking) {
    const auto cooking = EvaluateCooking(file.card, *file.cooking);
    if (!cooking) return Fail(cooking.error());
    answer.cooking = *cooking;
  }
  if (file.portion && file.new_price_per_kg) {
    answer.at_new_price =
        PortionCostAt(file.card, *butchery, *file.portion, *file.new_price_per_kg);
  }
  return answer;
}

std::string YieldJson(const YieldFile& file, const YieldAnswer& answer) {
  const YieldResult& r = answer.butchery;
  nlohmann::ordered_json json = {{"schema", "ribwright.yield_result/1"},
                                 {"name", file.card.name},
                                 {"currency", std::string(file.card.currency.text())},
                                 {"purchase_cost", r.purchase_cost},
                                 {"credit", r.credit},
                                 {"main_value", r.main_value},
                                 {"main_g", r.main.grams()},
                                 {"by_products_g", r.by_products.grams()},
                                 {"losses_g", r.losses.grams()},
                                 {"difference_g", r.difference.grams()},
                                 {"yield_pct", 100.0 * r.yield},
                                 {"with_credit", CostJson(r.with_credit, file)},
                                 {"without_credit", CostJson(r.without_credit, file)}};
  if (answer.cooking) {
    const CookingResult& c = *answer.cooking;
    json["cooking"] = {{"loss_g", c.loss.grams()},
                       {"loss_pct_of_raw", 100.0 * c.loss_of_raw},
                       {"saleable_g", c.saleable.grams()},
                       {"yield_pct", 100.0 * c.yield},
                       {"with_credit", CostJson(c.with_credit, file)},
                       {"without_credit", CostJson(c.without_credit, file)}};
  }
  if (answer.at_new_price) {
    json["at_new_price"] = {{"by_factor", answer.at_new_price->by_factor},
                            {"exact", answer.at_new_price->exact}};
  }
  return json.dump(2) + "\n";
}

std::string YieldText(const YieldFile& file, const YieldAnswer& answer) {
  const YieldResult& r = answer.butchery;
  const auto& currency = file.card.currency;
  std::string text = fmt::format("{}: {} at {} per kg = {}\n", file.card.name,
                                 units::GramsText(file.card.purchased),
                                 AmountText(file.card.price_per_kg, currency, 2),
                                 units::MoneyText(RoundToMoney(r.purchase_cost, currency)));
  for (const YieldPart& part : file.card.parts) {
    text += fmt::format("  {:<26}{:>14}{:>9} %\n", part.name, units::GramsText(part.mass),
                        units::Fixed(100.0 * part.mass.grams() / file.card.purchased.grams(), 1));
  }
  text += fmt::format("  credit for by-products {}, left for the main part {}\n",
                      units::MoneyText(RoundToMoney(r.credit, currency)),
                      units::MoneyText(RoundToMoney(r.main_value, currency)));
  text += CostLines("Raw", r.with_credit, r.without_credit, file);
  if (answer.cooking) {
    const CookingResult& c = *answer.cooking;
    text += fmt::format("  cooked away {} ({} % of raw), saleable {} ({} % of the piece)\n",
                        units::GramsText(c.loss), units::Fixed(100.0 * c.loss_of_raw, 1),
                        units::GramsText(c.saleable), units::Fixed(100.0 * c.yield, 1));
    text += CostLines("Cooked", c.with_credit, c.without_credit, file);
  }
  if (answer.at_new_price) {
    text += fmt::format(
        "  portion at {} per kg: {}; by the factor {} (as if by-products moved with "
        "the price)\n",
        AmountText(*file.new_price_per_kg, currency, 2),
        AmountText(answer.at_new_price->exact, currency, 2),
        AmountText(answer.at_new_price->by_factor, currency, 2));
  }
  return text;
}

Result<JointFile> ReadJointFile(std::string_view text, const std::string& name) {
  const auto json = ParseObject(text, name);
  if (!json) return Fail(json.error());
  std::optional<Error> fault;
  JsonIn in(*json, "", fault);
  if (in.NeededText("schema") != "ribwright.joint_cost/1") {
    in.Refuse("These are not joint products.", "schema",
              R"(Write "schema": "ribwright.joint_cost/1".)");
  }
  JointFile file;
  const auto currency = in.Currency("currency");
  const double total = in.NeededNumber("total");
  if (!(total >= 0.0 && total < 1e9)) {
    in.Refuse("The total cannot be shared.", "total", "Give 0 to below 1e9.");
  } else {
    file.total = RoundToMoney(total, currency);
  }
  in.Each("products", true, [&](JsonIn& one) {
    JointProduct product;
    product.name = one.NeededText("name");
    product.mass = one.NeededMass("mass");
    product.sells_per_kg = one.PricePerKg("sells", false);
    file.products.push_back(std::move(product));
  });
  in.Finish();
  if (const Status fine = Named(fault, name); !fine) return Fail(fine.error());
  return file;
}

std::string JointJson(const JointFile& file, const std::vector<JointShare>& shares) {
  nlohmann::ordered_json json = {{"schema", "ribwright.joint_shares/1"},
                                 {"currency", std::string(file.total.currency.text())},
                                 {"total_minor", file.total.minor}};
  for (const JointShare& share : shares) {
    json["products"].push_back({{"name", share.name},
                                {"sales_value_minor", share.sales_value.minor},
                                {"by_weight_minor", share.by_weight.minor},
                                {"by_value_minor", share.by_value.minor}});
  }
  return json.dump(2) + "\n";
}

std::string JointText(const JointFile& file, const std::vector<JointShare>& shares) {
  std::string text =
      fmt::format("{} over {} products\n  {:<26}{:>14}{:>14}\n", units::MoneyText(file.total),
                  shares.size(), "", "by weight", "by value");
  for (const JointShare& share : shares) {
    text += fmt::format("  {:<26}{:>14}{:>14}\n", share.name, units::MoneyText(share.by_weight),
                        units::MoneyText(share.by_value));
  }
  return text;
}

}  // namespace ribwright::costing
