// SPDX-License-Identifier: Apache-2.0
#include "cli/database_commands.h"

#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <cstdio>
#include <filesystem>
#include <memory>
#include <nlohmann/json.hpp>
#include <string>

#include "cli/house_data.h"
#include "cli/program.h"
#include "store/backup.h"
#include "store/check.h"

namespace ribwright::cli {
namespace {

struct Arguments {
  std::string data;
  std::string folder;
  bool json = false;
};

void Print(const std::string& text) { std::fwrite(text.data(), 1, text.size(), stdout); }

int Refuse(const Error& error) {
  PrintError(error);
  return ExitOf(error);
}

int RunCheck(const Arguments& a) {
  GuardHouse(a.data);
  const std::filesystem::path folder(a.data);
  auto checked = store::CheckFile(folder / "ribwright.db");
  if (!checked) return Refuse(checked.error());
  if (const Status photos =
          store::CheckPhotos(folder / "ribwright.db", folder / "photos", *checked);
      !photos && checked->faults.empty()) {
    return Refuse(photos.error());
  }
  if (a.json) {
    nlohmann::json faults = nlohmann::json::array();
    for (const Error& fault : checked->faults) {
      faults.push_back({{"code", CodeText(fault.code)},
                        {"message", fault.message},
                        {"where", fault.where},
                        {"mend", fault.mend}});
    }
    const nlohmann::json out = {
        {"events", checked->events}, {"pieces", checked->pieces},
        {"balances", checked->cuts}, {"faces", checked->faces},
        {"files", checked->files},   {"last_hash", ledger::HashText(checked->last_hash)},
        {"faults", faults}};
    Print(out.dump(2) + "\n");
  } else {
    Print(fmt::format(
        "{} events, {} pieces, {} balances of cuts, {} faces, {} files of photos: {}\n"
        "last hash {}\n",
        checked->events, checked->pieces, checked->cuts, checked->faces, checked->files,
        checked->faults.empty() ? "sound" : fmt::format("{} faults", checked->faults.size()),
        ledger::HashText(checked->last_hash)));
    for (const Error& fault : checked->faults) PrintError(fault);
  }
  return checked->faults.empty() ? kExitDone : kExitInput;
}

int RunBackup(const Arguments& a) {
  GuardHouse(a.data);
  const auto copied = store::BackUp(a.data, a.folder);
  if (!copied) return Refuse(copied.error());
  Print(fmt::format("Backed up to {}: the ledger and {} photos.\n", a.folder, copied->photos));
  return kExitDone;
}

int RunRestore(const Arguments& a) {
  GuardHouse(a.data);
  const auto copied = store::Restore(a.folder, a.data);
  if (!copied) return Refuse(copied.error());
  Print(fmt::format("Restored into {}: the ledger and {} photos.\n", a.data, copied->photos));
  return kExitDone;
}

}  // namespace

void AddDatabaseCommands(CLI::App& app, int& exit_code) {
  const auto add = [&](const char* name, const char* what, int (*run)(const Arguments&)) {
    auto a = std::make_shared<Arguments>();
    CLI::App* command = app.add_subcommand(name, what);
    AddDataOption(*command, a->data);
    command->callback([&exit_code, a, run] { exit_code = run(*a); });
    return std::make_pair(command, a);
  };
  const auto [check, check_a] =
      add("check-db",
          "Check the ledger: pages, chain, balances, all that is derived, and the photos' files",
          RunCheck);
  check->add_flag("--json", check_a->json, "Print JSON");
  const auto [backup, backup_a] =
      add("backup", "Copy the ledger and its photos, also while it is in use", RunBackup);
  backup->add_option("folder", backup_a->folder, "A new folder")->type_name("DIR")->required();
  const auto [restore, restore_a] =
      add("restore", "Put a backup into a data folder without a ledger", RunRestore);
  restore->add_option("folder", restore_a->folder, "What backup made")
      ->type_name("DIR")
      ->required();
}

}  // namespace ribwright::cli
