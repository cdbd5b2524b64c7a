// SPDX-License-Identifier: Apache-2.0
#include "cli/demo_command.h"

#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <cstdio>
#include <memory>
#include <string>

#include "cli/house_data.h"
#include "cli/program.h"
#include "programme/demo_history.h"

namespace ribwright::cli {
namespace {

struct DemoArguments {
  std::string data;
  std::string end;
  std::uint64_t seed = 1;
};

Result<std::string> RunDemo(const DemoArguments& arguments) {
  // Up to the end of yesterday, so that the day goes on where the demo stops.
  units::UtcTime end{store::SystemNow().ms / 86'400'000 * 86'400'000};
  if (!arguments.end.empty()) {
    const auto day = units::DayFromText(arguments.end);
    if (!day) return Fail(day.error());
    end = {day->time_since_epoch().count() * 86'400'000};
  }
  const auto house = OpenOrMakeHouse(arguments.data);
  if (!house) return Fail(house.error());
  const auto events = (*house)->reader().Events({});
  if (!events) return Fail(events.error());
  if (!events->empty()) {
    return Fail(Code::kBadOption, "This folder holds a ledger already.", arguments.data,
                "Give a new folder with --data.");
  }
  const auto history = programme::WriteDemoHistory((*house)->writer(), end, arguments.seed);
  if (!history) return Fail(history.error());
  return fmt::format(
      "{} days of an invented steakhouse: {} events, {} pieces, in {}.\n"
      "  ribwright ledger stock --data {}\n  ribwright serve --data {}\n",
      history->days, history->events, history->pieces, arguments.data, arguments.data,
      arguments.data);
}

}  // namespace

void AddDemoCommand(CLI::App& app, int& exit_code) {
  auto arguments = std::make_shared<DemoArguments>();
  CLI::App* command = app.add_subcommand(
      "demo", "Fill a new data folder with an invented steakhouse's three months");
  AddDataOption(*command, arguments->data);
  command->add_option("--seed", arguments->seed, "Another history")->capture_default_str();
  command->add_option("--end", arguments->end, "The day after its last; by default today")
      ->type_name("YYYY-MM-DD");
  command->callback([&exit_code, arguments] {
    const auto done = RunDemo(*arguments);
    if (done) {
      std::fwrite(done->data(), 1, done->size(), stdout);
    } else {
      PrintError(done.error());
    }
    exit_code = done ? kExitDone : ExitOf(done.error());
  });
}

}  // namespace ribwright::cli
