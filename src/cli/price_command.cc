// SPDX-License-Identifier: Apache-2.0
#include "cli/price_command.h"

#include <CLI/CLI.hpp>
#include <algorithm>
#include <cstdio>
#include <memory>
#include <string>
#include <thread>

#include "base/files.h"
#include "cli/program.h"
#include "costing/cost_files.h"

namespace ribwright::cli {
namespace {

constexpr std::size_t kLargestFile = 4'000'000;  // bytes; our own limit

struct Arguments {
  std::string file;
  bool json = false;
  costing::DrawPlan plan;
};

int Refuse(const Error& error) {
  PrintError(error);
  return ExitOf(error);
}

int Print(const std::string& text) {
  std::fwrite(text.data(), 1, text.size(), stdout);
  return kExitDone;
}

Result<std::string> ReadText(const std::string& path) {
  const auto bytes = ReadFileLimited(path, kLargestFile);
  if (!bytes) return Fail(bytes.error());
  return std::string(bytes->begin(), bytes->end());
}

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
  add("joint", "One purchase shared over its products, by weight and by sales value", Joint);
}

}  // namespace ribwright::cli
