// SPDX-License-Identifier: Apache-2.0
#include "cli/offers_command.h"

#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <memory>
#include <string>
#include <thread>
#include <vector>

#include "cli/house_data.h"
#include "cli/text_file.h"
#include "costing/acceptance.h"
#include "costing/claims.h"
#include "costing/cost_files.h"
#include "costing/delivery_files.h"
#include "costing/market_report.h"
#include "programme/offer_book.h"
#include "report/json.h"
#include "units/format.h"

namespace ribwright::cli {
namespace {

struct Arguments {
  std::vector<std::string> files;
  std::string supplier;
  std::string mapping;
  std::string data = kDataFolder;
  std::string claim;
  bool confirm = false;
  costing::DrawPlan plan;
  costing::Lot lot;
  int pieces = 0;
  costing::PlanWish wish;
  double grade_worth = 0.0;
};

std::string BadLines(const std::vector<costing::BadLine>& bad) {
  std::string text;
  for (const costing::BadLine& line : bad) {
    text += fmt::format("  line {}: {}  [{}]\n", line.line, line.reason, line.text);
  }
  return text;
}

int Import(const Arguments& a) {
  const auto text = ReadText(a.files[0]);
  if (!text) return Refuse(text.error());
  auto book = programme::OfferBook::Read(a.data);
  if (!book) return Refuse(book.error());
  std::optional<costing::PriceMapping> mapping = book->MappingOf(a.supplier);
  std::string told = "mapping remembered from the last list";
  if (!a.mapping.empty()) {
    const auto given = ReadText(a.mapping);
    if (!given) return Refuse(given.error());
    auto read = costing::MappingFromJson(*given, a.mapping);
    if (!read) return Refuse(read.error());
    mapping = std::move(*read);
    mapping->supplier = a.supplier;
    told = "mapping from " + a.mapping;
  } else if (!mapping) {
    const auto table = costing::ReadLoose(*text, a.files[0]);
    if (!table) return Refuse(table.error());
    mapping = costing::GuessMapping(table->header, a.supplier);
    told = "mapping guessed from the headings; correct it and give it with --mapping:\n" +
           costing::MappingJson(*mapping);
  }
  const auto list = costing::ReadPriceList(*text, a.files[0], *mapping);
  if (!list) return Refuse(list.error());
  std::string out = fmt::format("{}: {} offers can be used, {} lines cannot\n{}", a.files[0],
                                list->offers.size(), list->bad.size(), BadLines(list->bad));
  out += told + "\n";
  if (!a.confirm) return Print(out + "Nothing was changed; --confirm applies the offers.\n");
  const Status applied = book->Apply(*mapping, list->offers);
  if (!applied) return Refuse(applied.error());
  return Print(out + fmt::format("Applied: {} offers of {}.\n", list->offers.size(), a.supplier));
}

int List(const Arguments& a) {
  const auto book = programme::OfferBook::Read(a.data);
  if (!book) return Refuse(book.error());
  return Print(costing::OffersCsv(book->offers()));
}

int Market(const Arguments& a) {
  const auto text = ReadText(a.files[0]);
  if (!text) return Refuse(text.error());
  const auto report = costing::ReadMarketReport(*text, a.files[0]);
  if (!report) return Refuse(report.error());
  std::string out;
  for (const costing::CutoutValues& cutout : report->cutouts) {
    out += fmt::format("{}  cutout Choice {}, Select {}, spread {} USD/100 lb\n",
                       units::DayText(cutout.day), units::Fixed(cutout.choice, 2),
                       units::Fixed(cutout.select, 2), units::Fixed(cutout.Spread(), 2));
  }
  for (const costing::MarketPrice& price : report->prices) {
    out += fmt::format("{}  {:<6} {:<44} {:>8} USD/100 lb {:>7} USD/kg  {:>5} trades\n",
                       units::DayText(price.day), price.item, price.description,
                       units::Fixed(price.mean, 2), units::Fixed(price.PerKg(), 2), price.trades);
  }
  out += fmt::format("{} rows traded, {} not traded, {} lines cannot be used\n{}",
                     report->prices.size(), report->not_traded, report->bad.size(),
                     BadLines(report->bad));
  return Print(out);
}

Result<std::vector<costing::ServedChain>> Chains(const Arguments& a) {
  std::vector<costing::ServedChain> chains;
  for (const std::string& path : a.files) {
    const auto text = ReadText(path);
    if (!text) return Fail(text.error());
    auto chain = costing::ReadChain(*text, path);
    if (!chain) return Fail(chain.error());
    chains.push_back(std::move(*chain));
  }
  return chains;
}

int Rank(const Arguments& a) {
  const auto chains = Chains(a);
  if (!chains) return Refuse(chains.error());
  const auto ranked = costing::RankOffers(*chains, a.plan);
  return ranked ? Print(costing::RankText(*ranked)) : Refuse(ranked.error());
}

int Explain(const Arguments& a) {
  const auto chains = Chains(a);
  if (!chains) return Refuse(chains.error());
  const auto& first = (*chains)[0];
  const auto& second = (*chains)[1];
  std::vector<costing::StatedWorth> stated;
  if (a.grade_worth != 0.0) stated.push_back({"grade", a.grade_worth, "as stated"});
  const auto difference =
      costing::ExplainDifference(first, second, costing::UsualCauses(first), stated);
  if (!difference) return Refuse(difference.error());
  const auto price = costing::BreakEvenPrice(first, second, a.plan);
  if (!price) return Refuse(price.error());
  return Print(costing::DifferenceText(first.name, second.name, *difference, *price));
}

int Claim(const Arguments& a) {
  const auto claim = costing::ClaimFromText(a.claim);
  if (!claim) return Refuse(claim.error());
  std::string out;
  for (const std::string& path : a.files) {
    const auto text = ReadText(path);
    if (!text) return Refuse(text.error());
    const auto report = report::FromJson(*text);
    if (!report) return Refuse(report.error());
    for (const report::Face& face : report->faces) {
      const auto odds = costing::OddsOfClaim(face, *claim);
      if (!odds) return Refuse(odds.error());
      out += fmt::format("{}: {} {} ({})\n", report->photo, a.claim,
                         odds->met ? units::Fixed(100.0 * *odds->met, 0) + " %" : "not known",
                         odds->because);
    }
  }
  return Print(out +
               "Odds from a photo, not a grade; official grades are given only by graders.\n");
}

int Plan(const Arguments& a) {
  costing::Lot lot = a.lot;
  if (a.pieces > 0) lot.pieces = a.pieces;
  const auto plan = costing::SmallestPlan(lot, a.wish);
  if (!plan) return Refuse(plan.error());
  std::string out = fmt::format(
      "Photograph {} pieces; accept when at most {} of them show short of the claim.\n"
      "  truly short   accepted\n",
      plan->sample, plan->allowed);
  const auto curve = costing::OperatingCharacteristic(*plan, lot, 11);
  if (!curve) return Refuse(curve.error());
  for (const costing::OcPoint& point : *curve) {
    out += fmt::format("  {:>9} %   {:>6} %\n", units::Fixed(100.0 * point.share, 0),
                       units::Fixed(100.0 * point.odds_accept, 1));
  }
  return Print(out);
}

int Receive(const Arguments& a) {
  const auto text = ReadText(a.files[0]);
  if (!text) return Refuse(text.error());
  const auto file = costing::ReadDelivery(*text, a.files[0]);
  if (!file) return Refuse(file.error());
  const auto finding = costing::JudgeDelivery(file->boxes, file->rules);
  return finding ? Print(costing::DeliveryText(*finding)) : Refuse(finding.error());
}

}  // namespace

void AddOffersCommand(CLI::App& app, int& exit_code) {
  CLI::App* command = app.add_subcommand("offers", "Suppliers' offers against each other");
  command->require_subcommand(1);
  const auto add = [&](const char* name, const char* what, int (*run)(const Arguments&), int least,
                       int most) {
    auto a = std::make_shared<Arguments>();
    CLI::App* sub = command->add_subcommand(name, what);
    if (most > 0) {
      sub->add_option("files", a->files, "docs/format/trade.md shows what they hold")
          ->type_name("FILE")
          ->required()
          ->expected(least, most);
    }
    sub->callback([&exit_code, a, run] {
      a->plan.threads = static_cast<int>(std::clamp(std::thread::hardware_concurrency(), 1U, 64U));
      exit_code = run(*a);
    });
    return std::make_pair(sub, a);
  };
  const auto draws = [](CLI::App* sub, Arguments& a) {
    sub->add_option("--draws", a.plan.draws, "How many draws")
        ->check(CLI::Range(100, 1'000'000))
        ->capture_default_str();
    sub->add_option("--seed", a.plan.seed, "Same seed, same result")->capture_default_str();
  };
  const auto [import, import_a] =
      add("import", "Read a price list; apply with --confirm", Import, 1, 1);
  import->add_option("--supplier", import_a->supplier, "Whose list")->type_name("NAME")->required();
  import->add_option("--mapping", import_a->mapping, "Which column holds what")->type_name("FILE");
  import->add_flag("--confirm", import_a->confirm, "Put the good lines in place of earlier ones");
  AddDataOption(*import, import_a->data);
  const auto [list, list_a] = add("list", "The house's offers as CSV", List, 0, 0);
  AddDataOption(*list, list_a->data);
  add("market", "A public boxed-beef report file", Market, 1, 1);
  const auto [rank, rank_a] = add("rank", "Odds of being cheapest on the plate", Rank, 2, 200);
  draws(rank, *rank_a);
  const auto [explain, explain_a] =
      add("explain", "Why the second costs more than the first, and its fair price", Explain, 2, 2);
  explain->add_option("--grade-worth", explain_a->grade_worth, "What its grade is worth per kg");
  draws(explain, *explain_a);
  const auto [claim, claim_a] = add("claim", "Odds that judged faces meet a claim", Claim, 1, 1000);
  claim->add_option("--claim", claim_a->claim, "us>=choice, marbling_pct>=6 ...")
      ->type_name("CLAIM")
      ->required();
  const auto [plan, plan_a] =
      add("plan", "How many pieces of a delivery to photograph", Plan, 0, 0);
  plan->add_option("--pieces", plan_a->pieces, "In the delivery; none: a long run")
      ->check(CLI::Range(1, 10'000));
  plan->add_option("--good", plan_a->wish.good_share, "Share short that is fine")
      ->capture_default_str();
  plan->add_option("--bad", plan_a->wish.bad_share, "Share short to be caught")
      ->capture_default_str();
  plan->add_option("--producer-risk", plan_a->wish.producer_risk, "Of refusing a fine delivery")
      ->capture_default_str();
  plan->add_option("--consumer-risk", plan_a->wish.consumer_risk, "Of accepting a bad one")
      ->capture_default_str();
  plan->add_option("--sensitivity", plan_a->lot.sensitivity, "Short pieces that photos show short")
      ->capture_default_str();
  plan->add_option("--specificity", plan_a->lot.specificity, "Good pieces that photos show good")
      ->capture_default_str();
  add("receive", "A delivery against its invoice", Receive, 1, 1);
}

}  // namespace ribwright::cli
