// SPDX-License-Identifier: Apache-2.0
#include "cli/commands.h"

#include <CLI/CLI.hpp>
#include <string>

#include "cli/card_command.h"
#include "cli/compare_command.h"
#include "cli/cook_command.h"
#include "cli/database_commands.h"
#include "cli/demo_command.h"
#include "cli/judge_command.h"
#include "cli/ledger_command.h"
#include "cli/offers_command.h"
#include "cli/phantom_command.h"
#include "cli/price_command.h"
#include "cli/serve_command.h"

namespace ribwright::cli {

void AddCommands(CLI::App& app, int& exit_code) {
  AddJudgeCommand(app, exit_code);
  AddCompareCommand(app, exit_code);
  AddCardCommand(app, exit_code);
  AddPhantomCommand(app, exit_code);
  AddCookCommand(app, exit_code);
  AddLedgerCommand(app, exit_code);
  AddDatabaseCommands(app, exit_code);
  AddDemoCommand(app, exit_code);
  AddOffersCommand(app, exit_code);
  AddPriceCommand(app, exit_code);
  AddServeCommand(app, exit_code);
  AddJudgeWorkerCommand(app, exit_code);
}

void AddCommonOptions(CLI::App& app) {
  app.add_option("--units", "Units of what is shown: metric or us (JSON stays metric)")
      ->type_name("SYSTEM")
      ->default_str("metric")
      ->check(CLI::IsMember({"metric", "us"}));
}

units::System UnitsOf(const CLI::App& app) {
  const CLI::Option* option = app.get_option("--units");
  return option->count() > 0 && option->as<std::string>() == "us" ? units::System::kUs
                                                                  : units::System::kMetric;
}

}  // namespace ribwright::cli
