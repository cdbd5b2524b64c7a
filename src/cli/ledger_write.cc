// SPDX-License-Identifier: Apache-2.0
#include "cli/ledger_write.h"

#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <cstdio>
#include <memory>
#include <nlohmann/json.hpp>
#include <string>

#include "base/files.h"
#include "cli/house_data.h"
#include "cli/program.h"
#include "ledger/event_json.h"
#include "ledger/show_json.h"

namespace ribwright::cli {
namespace {

struct WriteArguments {
  std::string data;
  std::string file;
  std::string user;
};

// A line that says when it happened gets the same key each time, so that a file may be sent twice;
// one that happens now is new each time.
std::string KeyOf(const std::string& line, std::size_t number, const std::string& user,
                  units::UtcTime now) {
  const bool timed = line.find("\"happened_at\"") != std::string::npos;
  const std::string named = fmt::format("{}\n{}\n{}\n{}", user, number, line, timed ? 0 : now.ms);
  return "line-" + ledger::HashText(ledger::HashOf(named)).substr(0, 32);
}

Status WriteLine(store::Store& store, const std::string& line, std::size_t number,
                 const std::string& user) {
  const units::UtcTime now = store::SystemNow();
  const auto draft = ledger::DraftFromJson(line, now, user, KeyOf(line, number, user, now),
                                           [&](std::string_view code) -> Result<ledger::PieceId> {
                                             const auto piece = store.reader().FindCode(code);
                                             if (!piece) return Fail(piece.error());
                                             return piece->id;
                                           });
  if (!draft) return Fail(draft.error());
  const auto receipt = store.writer().Append(*draft);
  if (!receipt) return Fail(receipt.error());
  const std::string text = ledger::ShowJson(*receipt).dump() + "\n";
  std::fwrite(text.data(), 1, text.size(), stdout);
  return {};
}

int RunWrite(const WriteArguments& arguments) {
  const auto bytes =
      ReadFileLimited(arguments.file == "-" ? "/dev/stdin" : arguments.file, 64'000'000);
  const auto refuse = [](const Error& error) {
    PrintError(error);
    return ExitOf(error);
  };
  if (!bytes) return refuse(bytes.error());
  const auto store = OpenOrMakeHouse(arguments.data);
  if (!store) return refuse(store.error());
  int exit_code = kExitDone;
  const std::string text(bytes->begin(), bytes->end());
  std::size_t number = 0;
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t end = std::min(text.find('\n', at), text.size());
    const std::string line = text.substr(at, end - at);
    at = end + 1;
    ++number;
    if (line.find_first_not_of(" \t\r") == std::string::npos) continue;
    const Status done = WriteLine(**store, line, number, arguments.user);
    if (done) continue;
    Error error = done.error();
    error.where = fmt::format("{}, line {}{}{}", arguments.file, number,
                              error.where.empty() ? "" : ": ", error.where);
    exit_code = refuse(error);
    // Every later line would be refused for the same reason.
    if (error.code == Code::kStoreFull) {
      const std::string rest = text.substr(std::min(at, text.size()));
      const auto left = std::count(rest.begin(), rest.end(), '\n') +
                        (rest.empty() || rest.back() == '\n' ? 0 : 1);
      std::fprintf(stderr, "ribwright: Stopped there; %td lines after it were not tried.\n", left);
      break;
    }
  }
  return exit_code;
}

}  // namespace

void AddLedgerWriteCommand(CLI::App& ledger, int& exit_code) {
  auto arguments = std::make_shared<WriteArguments>();
  CLI::App* command =
      ledger.add_subcommand("write", "Write events, one JSON object a line; prints what each made");
  AddDataOption(*command, arguments->data);
  command->add_option("file", arguments->file, "The file; - for standard input")
      ->type_name("FILE")
      ->required();
  command->add_option("--user", arguments->user, "Who did it")->type_name("NAME")->required();
  command->callback([&exit_code, arguments] { exit_code = RunWrite(*arguments); });
}

}  // namespace ribwright::cli
