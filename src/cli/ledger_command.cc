// SPDX-License-Identifier: Apache-2.0
#include "cli/ledger_command.h"

#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <cstdio>
#include <memory>
#include <nlohmann/json.hpp>
#include <string>

#include "cli/commands.h"
#include "cli/house_data.h"
#include "cli/ledger_text.h"
#include "cli/ledger_write.h"
#include "cli/numbers.h"
#include "cli/program.h"
#include "ledger/show_json.h"

namespace ribwright::cli {
namespace {

constexpr std::int64_t kMostEvents = std::int64_t{1} << 53;  // what JSON's readers keep exact

struct Arguments {
  std::string data;
  std::string code;
  std::string text;
  std::string location;
  std::string cut;
  std::string user;
  std::int64_t number = 0;
  int limit = 50;
  double grams = 0.0;
  bool json = false;
  bool none = false;
};

void Print(const std::string& text) { std::fwrite(text.data(), 1, text.size(), stdout); }

int Refuse(const Error& error) {
  PrintError(error);
  return ExitOf(error);
}

// Prints `result`, or says why not.
template <typename T, typename Text>
int Show(const Result<T>& result, bool json, Text text) {
  if (!result) return Refuse(result.error());
  Print(json ? ledger::ShowJson(*result).dump(2) + "\n" : text(*result));
  return kExitDone;
}

template <typename T, typename Text>
int ShowList(const Result<std::vector<T>>& result, bool json, Text text) {
  if (!result) return Refuse(result.error());
  if (!json) {
    Print(text(*result));
    return kExitDone;
  }
  nlohmann::json list = nlohmann::json::array();
  for (const T& one : *result) list.push_back(ledger::ShowJson(one));
  Print(list.dump(2) + "\n");
  return kExitDone;
}

int ShowPiece(store::Store& store, const Arguments& a, units::System units) {
  const auto piece = store.reader().FindCode(a.code);
  if (!piece) return Refuse(piece.error());
  return Show(store.reader().Page(piece->id), a.json,
              [&](const ledger::PiecePage& page) { return PageText(page, units); });
}

int ShowTrace(store::Store& store, const Arguments& a, units::System units) {
  const auto piece = store.reader().FindCode(a.code);
  if (!piece) return Refuse(piece.error());
  return Show(store.reader().TraceOf(piece->id), a.json,
              [&](const ledger::Trace& trace) { return TraceText(trace, units); });
}

int ShowStock(store::Store& store, const Arguments& a, units::System units) {
  std::optional<std::string> location;
  if (!a.location.empty()) location = a.location;
  return ShowList(store.reader().Stock(location), a.json,
                  [&](const auto& stock) { return StockText(stock, units); });
}

int ShowEvents(store::Store& store, const Arguments& a, units::System) {
  ledger::EventFilter filter;
  filter.before = a.number;
  filter.limit = a.limit;
  return ShowList(store.reader().Events(filter), a.json, [](const auto& events) {
    std::string text;
    for (const ledger::EventView& view : events) text += EventText(view);
    return text;
  });
}

int ShowSearch(store::Store& store, const Arguments& a, units::System units) {
  return ShowList(store.reader().Search(a.text, a.limit), a.json, [&](const auto& hits) {
    std::string text;
    for (const ledger::SearchHit& hit : hits) {
      text += fmt::format("event {:>7}  {}               {}\n", hit.event,
                          PieceText(hit.piece, units), hit.snippet);
    }
    return text.empty() ? "Nothing was found.\n" : text;
  });
}

int ShowCount(store::Store& store, const Arguments& a, units::System units) {
  return Show(store.reader().Count(a.number), a.json,
              [&](const ledger::StockCount& count) { return CountText(count, units); });
}

int SetPar(store::Store& store, const Arguments& a, units::System) {
  std::optional<units::Mass> mass;
  if (!a.none) mass = units::Mass::FromGrams(a.grams);
  const Status done = store.writer().SetPar(a.cut, a.location, mass, a.user);
  return done ? kExitDone : Refuse(done.error());
}

}  // namespace

void AddLedgerCommand(CLI::App& app, int& exit_code) {
  CLI::App* command = app.add_subcommand("ledger", "What happened to every piece");
  command->require_subcommand(1);
  AddLedgerWriteCommand(*command, exit_code);
  using Run = int (*)(store::Store&, const Arguments&, units::System);
  using Open = Result<std::unique_ptr<store::Store>> (*)(const std::string&);
  const auto add = [&](const char* name, const char* what, Run run, Open open = OpenHouseToRead) {
    auto a = std::make_shared<Arguments>();
    CLI::App* sub = command->add_subcommand(name, what);
    AddDataOption(*sub, a->data);
    sub->callback([&app, &exit_code, a, run, open] {
      const auto store = open(a->data);
      exit_code = store ? run(**store, *a, UnitsOf(app)) : Refuse(store.error());
    });
    return std::make_pair(sub, a);
  };
  const auto add_json = [](CLI::App* sub, Arguments& a) {
    sub->add_flag("--json", a.json, "Print JSON");
  };
  const auto limit = [](CLI::App* sub, Arguments& a) {
    sub->add_option("--limit", a.limit, "How many at most")
        ->check(WholeNumberIn(1, 500))
        ->capture_default_str();
  };

  const auto [piece, piece_a] = add("piece", "A piece and its history", ShowPiece);
  piece->add_option("code", piece_a->code, "The code on its label")->type_name("CODE")->required();
  add_json(piece, *piece_a);
  const auto [trace, trace_a] =
      add("trace", "Where a piece came from and what became of it", ShowTrace);
  trace->add_option("code", trace_a->code, "The code on its label")->type_name("CODE")->required();
  add_json(trace, *trace_a);
  const auto [stock, stock_a] = add("stock", "What lies where, how old, against par", ShowStock);
  stock->add_option("--location", stock_a->location, "Only this place")->type_name("PLACE");
  add_json(stock, *stock_a);
  const auto [events, events_a] = add("events", "Events, newest first", ShowEvents);
  events->add_option("--before", events_a->number, "Only those below this number")
      ->type_name("N")
      ->check(WholeNumberIn(0, kMostEvents));
  limit(events, *events_a);
  add_json(events, *events_a);
  const auto [search, search_a] = add("search", "Words of notes, cuts, lots, codes", ShowSearch);
  search->add_option("words", search_a->text, "All must be there")->type_name("WORDS")->required();
  limit(search, *search_a);
  add_json(search, *search_a);
  const auto [count, count_a] = add("count", "A stock count against the ledger", ShowCount);
  count->add_option("event", count_a->number, "Number of the counted event")
      ->type_name("N")
      ->check(WholeNumberIn(1, kMostEvents))
      ->required();
  add_json(count, *count_a);
  const auto [par, par_a] =
      add("par", "Set how much of a cut should be at a place", SetPar, OpenHouse);
  par->add_option("cut", par_a->cut, "The cut")->type_name("CUT")->required();
  par->add_option("location", par_a->location, "The place")->type_name("PLACE")->required();
  CLI::Option_group* level = par->add_option_group("level", "How much");
  level->add_option("--grams", par_a->grams, "Grams that should be there")
      ->type_name("G")
      ->check(NumberIn(1.0, 2e6));
  level->add_flag("--none", par_a->none, "Take the level away");
  level->require_option(1);
  par->add_option("--user", par_a->user, "Who sets it")->type_name("NAME")->required();
}

}  // namespace ribwright::cli
