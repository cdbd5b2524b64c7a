// SPDX-License-Identifier: Apache-2.0
#include "cli/price_command.h"

#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <cmath>
#include <memory>
#include <optional>
#include <string>
#include <thread>
#include <vector>

#include "cli/text_file.h"
#include "costing/amount.h"
#include "costing/cost_files.h"
#include "costing/delivery_files.h"
#include "costing/menu_price.h"
#include "units/format.h"

namespace ribwright::cli {
namespace {

struct Arguments {
  std::string file;
  bool json = false;
  costing::DrawPlan plan;
  double popularity = 0.70;
  double cost = 0.0;
  double cost_low = 0.0;
  double cost_high = 0.0;
  std::string currency = "EUR";
  std::optional<double> food_cost_pct;
  std::optional<double> margin;
  double tax_pct = 0.0;
  double service_pct = 0.0;
  std::vector<double> endings;
  std::string rounding = "up";
};

int Served(const Arguments& a) {
  const auto text = ReadText(a.file);
  if (!text) return Refuse(text.error());
  const auto chain = costing::ReadChain(*text, a.file);
  if (!chain) return Refuse(chain.error());
  costing::DrawPlan plan = a.plan;
  plan.threads = static_cast<int>(std::clamp(std::thread::hardware_concurrency(), 1U, 64U));
  const auto cost = costing::ComputeServedCost(*chain, plan);
  if (!cost) return Refuse(cost.error());
  return Print(a.json ? costing::ServedCostJson(*chain, *cost, plan)
                      : costing::ServedCostText(*chain, *cost));
}

int Yield(const Arguments& a) {
  const auto text = ReadText(a.file);
  if (!text) return Refuse(text.error());
  const auto file = costing::ReadYieldFile(*text, a.file);
  if (!file) return Refuse(file.error());
  const auto answer = costing::AnswerYield(*file);
  if (!answer) return Refuse(answer.error());
  return Print(a.json ? costing::YieldJson(*file, *answer) : costing::YieldText(*file, *answer));
}

int Joint(const Arguments& a) {
  const auto text = ReadText(a.file);
  if (!text) return Refuse(text.error());
  const auto file = costing::ReadJointFile(*text, a.file);
  if (!file) return Refuse(file.error());
  const auto shares = costing::ShareJointCost(file->total, file->products);
  if (!shares) return Refuse(shares.error());
  return Print(a.json ? costing::JointJson(*file, *shares) : costing::JointText(*file, *shares));
}

int Menu(const Arguments& a) {
  const auto text = ReadText(a.file);
  if (!text) return Refuse(text.error());
  const auto dishes = costing::ReadMenu(*text, a.file);
  if (!dishes) return Refuse(dishes.error());
  const auto mix = costing::EvaluateMenu(*dishes, a.popularity);
  return mix ? Print(costing::MenuText(*mix)) : Refuse(mix.error());
}

int Week(const Arguments& a) {
  const auto text = ReadText(a.file);
  if (!text) return Refuse(text.error());
  const auto needs = costing::ReadWeek(*text, a.file);
  if (!needs) return Refuse(needs.error());
  std::vector<costing::WeekOrder> orders;
  for (const costing::WeekNeed& need : *needs) {
    auto order = costing::OrderForWeek(need);
    if (!order) return Refuse(order.error());
    orders.push_back(std::move(*order));
  }
  return Print(costing::WeekText(std::move(orders)));
}

int Dish(const Arguments& a) {
  const auto currency = units::Currency::FromText(a.currency);
  if (!currency) {
    return Refuse({Code::kBadOption, "This is no currency.", a.currency, "Write EUR or USD."});
  }
  const double low = a.cost_low > 0.0 ? a.cost_low : a.cost;
  const double high = a.cost_high > 0.0 ? a.cost_high : a.cost;
  const Measured cost = Measured::Of(a.cost, low, high, a.currency + "/portion", "as entered");
  if (!cost.Valid()) {
    return Refuse({Code::kBadOption, "The cost's interval does not hold the cost.", "--cost",
                   "Give low <= cost <= high."});
  }
  costing::PriceRule rule;
  rule.currency = *currency;
  if (a.food_cost_pct) rule.target_food_cost = *a.food_cost_pct / 100.0;
  rule.target_margin = a.margin;
  rule.tax = a.tax_pct / 100.0;
  rule.service = a.service_pct / 100.0;
  rule.menu_includes_service = a.service_pct > 0.0;
  costing::MenuEndings endings;
  const double minor = costing::MinorPerUnit(*currency);
  endings.step = std::llround(minor);
  for (const double ending : a.endings) endings.endings.push_back(std::llround(ending * minor));
  endings.rounding = a.rounding == "down"      ? costing::Rounding::kDown
                     : a.rounding == "nearest" ? costing::Rounding::kNearest
                                               : costing::Rounding::kUp;
  const auto price = costing::PriceDish(cost, rule, endings);
  if (!price) return Refuse(price.error());
  return Print(fmt::format(
      "menu price {} (exactly {}), {} of it without tax and service\n"
      "food cost {} % ({} to {}), leaves {} ({} to {}) a portion\n",
      units::MoneyText(price->menu), units::Fixed(price->exact, 4), units::Fixed(price->net, 2),
      units::Fixed(*price->food_cost_pct.value, 1), units::Fixed(price->food_cost_pct.low, 1),
      units::Fixed(price->food_cost_pct.high, 1), units::Fixed(*price->margin.value, 2),
      units::Fixed(price->margin.low, 2), units::Fixed(price->margin.high, 2)));
}

void AddDish(CLI::App& command, int& exit_code) {
  auto a = std::make_shared<Arguments>();
  CLI::App* dish = command.add_subcommand("dish", "A menu price from a portion's cost");
  dish->add_option("--cost", a->cost, "Of a portion, without tax")
      ->required()
      ->check(CLI::PositiveNumber);
  dish->add_option("--cost-low", a->cost_low, "Its interval")->check(CLI::PositiveNumber);
  dish->add_option("--cost-high", a->cost_high, "Its interval")->check(CLI::PositiveNumber);
  dish->add_option("--currency", a->currency, "Three letters")->capture_default_str();
  dish->add_option("--food-cost", a->food_cost_pct, "Target, % of the net price");
  dish->add_option("--margin", a->margin, "Target, what a portion should leave");
  dish->add_option("--tax", a->tax_pct, "% that the menu's price includes")->capture_default_str();
  dish->add_option("--service", a->service_pct, "% that the menu's price includes")
      ->capture_default_str();
  dish->add_option("--endings", a->endings, "Endings of menu prices, as 0,0.5,0.9")->delimiter(',');
  dish->add_option("--round", a->rounding, "up, nearest or down")
      ->check(CLI::IsMember({"up", "nearest", "down"}))
      ->capture_default_str();
  dish->callback([&exit_code, a] { exit_code = Dish(*a); });
}

}  // namespace

void AddPriceCommand(CLI::App& app, int& exit_code) {
  CLI::App* command = app.add_subcommand("price", "What a plate costs and what to ask for it");
  command->require_subcommand(1);
  const auto add = [&](const char* name, const char* what, int (*run)(const Arguments&)) {
    auto a = std::make_shared<Arguments>();
    CLI::App* sub = command->add_subcommand(name, what);
    sub->add_option("file", a->file, "docs/format/trade.md shows its keys")
        ->type_name("FILE")
        ->required();
    sub->add_flag("--json", a->json, "Print JSON");
    sub->callback([&exit_code, a, run] { exit_code = run(*a); });
    return std::make_pair(sub, a);
  };
  const auto [served, served_a] =
      add("served", "Served cost of a chain: interval, waterfall, what matters most", Served);
  served->add_option("--draws", served_a->plan.draws, "How many draws")
      ->check(CLI::Range(100, 10'000'000))
      ->capture_default_str();
  served->add_option("--seed", served_a->plan.seed, "Same seed, same result")
      ->capture_default_str();
  add("yield", "A butcher's test, with or without cooking; its weights must add up", Yield);
  const auto [menu, menu_a] = add("menu", "Popularity and margin of a menu's dishes (CSV)", Menu);
  menu->add_option("--popularity", menu_a->popularity, "Cut, times one over the dishes")
      ->capture_default_str();
  add("week", "What to buy for the covers that are expected", Week);
  AddDish(*command, exit_code);
  add("joint", "One purchase shared over its products, by weight and by sales value", Joint);
}

}  // namespace ribwright::cli
