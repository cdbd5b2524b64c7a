// SPDX-License-Identifier: Apache-2.0
#include "cli/cook_command.h"

#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <cmath>
#include <cstdio>
#include <map>
#include <memory>
#include <optional>
#include <string>

#include "base/csv.h"
#include "cli/commands.h"
#include "cli/program.h"
#include "cooking/bath_time.h"
#include "cooking/cook_plan.h"
#include "cooking/guidance.h"
#include "cooking/probe.h"
#include "cooking/ticket.h"
#include "programme/cook_files.h"
#include "programme/cook_output.h"

namespace ribwright::cli {
namespace {

struct Arguments {
  cooking::CookRequest request;
  std::string method = "pan";
  std::string meat = "intact";
  std::string doneness;
  double target_c = 0.0;
  double surface_c = 0.0;
  double at_c = 0.0, bath_c = 0.0;
  std::string file, ready;
  int places = 0;
  bool json = false, seven = false, hot = false;
};

int Refuse(const Error& error) {
  PrintError(error);
  return ExitOf(error);
}

int Print(const std::string& text) {
  std::fwrite(text.data(), 1, text.size(), stdout);
  return kExitDone;
}

Result<cooking::CookRequest> RequestFrom(const Arguments& a) {
  programme::CookWords words;
  words.method = a.method;
  words.meat = a.meat;
  words.doneness = a.doneness;
  if (a.target_c != 0.0) words.target_c = a.target_c;
  return programme::RequestFromWords(a.request, words);
}

int Plan(const Arguments& a, units::System system) {
  const auto request = RequestFrom(a);
  if (!request) return Refuse(request.error());
  const auto plan = cooking::PlanCook(*request);
  if (!plan) return Refuse(plan.error());
  const auto house = cooking::HouseDefaults();
  return Print(a.json ? programme::CookJson(*request, *plan, house)
                      : programme::CookCard(*request, *plan, house, system));
}

int Probe(const Arguments& a, units::System system) {
  const auto request = RequestFrom(a);
  if (!request) return Refuse(request.error());
  const auto readings = programme::ReadTemperatures(a.file);
  if (!readings) return Refuse(readings.error());
  const auto plan = cooking::PlanCook(*request);
  if (!plan) return Refuse(plan.error());
  const auto live = cooking::EstimateLive(*request, cooking::CourseOf(*plan), *readings);
  if (!live) return Refuse(live.error());
  return Print(a.json ? programme::LiveJson(*live) : programme::LiveText(*live, system));
}

int Ticket(const Arguments& a) {
  std::optional<int> ready;
  if (!a.ready.empty()) {
    const auto minutes = programme::MinutesOfDay(a.ready);
    if (!minutes) return Refuse(minutes.error());
    ready = *minutes;
  }
  const auto pieces = programme::ReadTicket(a.file, a.request);
  if (!pieces) return Refuse(pieces.error());
  std::map<std::string, int> places;
  if (a.places > 0) places = {{"pan", a.places}, {"grill", a.places}, {"sear", a.places}};
  const auto lines = cooking::ScheduleTicket(*pieces, places);
  if (!lines) return Refuse(lines.error());
  return Print(a.json ? programme::TicketJson(*lines) : programme::TicketText(*lines, ready));
}

int Hold(const Arguments& a, units::System system) {
  const auto line = a.seven ? cooking::LogLine::kSeven : cooking::LogLine::kSixAndHalf;
  const auto seconds = cooking::HoldSeconds(a.at_c, line);
  if (!seconds) {
    return Refuse({Code::kCookUnsafe, "The published table gives no time below 54.4 \u00b0C.",
                   "--at-c", "Hold at 54.4 \u00b0C (130 \u00b0F) or more."});
  }
  const std::string words =
      *seconds == 0.0 ? "at once" : programme::DurationText(std::ceil(*seconds));
  return Print(
      fmt::format("{} at the coldest point: {} for {} log of Salmonella "
                  "[fsis-appendix-a, interpolated, never shorter]\n",
                  programme::TemperatureText(a.at_c, system), words, a.seven ? "7" : "6.5"));
}

int Bath(const Arguments& a) {
  const auto seconds = cooking::BathSeconds(a.request.thickness_mm, a.bath_c, a.request.start_c);
  if (!seconds) return Refuse(seconds.error());
  return Print(
      fmt::format("{} in the bath for a tabulated kill at the middle, 6 % rms of the "
                  "published table [baldwin2012]\n",
                  programme::DurationText(std::ceil(*seconds / 60.0) * 60.0)));
}

int Cooling(const Arguments& a) {
  const auto log = programme::ReadTemperatures(a.file);
  if (!log) return Refuse(log.error());
  const auto faults = cooking::CoolingFaults(*log);
  std::string out;
  for (const auto& fault : faults) out += fault + "\n";
  if (faults.empty())
    out = "The log keeps to 57 to 21 \u00b0C in 2 h and 5 \u00b0C in 6 h [food-code].\n";
  Print(out);
  return faults.empty() ? kExitDone : kExitInput;
}

void AddSteak(CLI::App& c, Arguments& a) {
  auto& r = a.request;
  auto& w = r.hardware;
  c.add_option("--method", a.method, "pan, grill, oven, reverse-sear or bath")
      ->capture_default_str();
  c.add_option("--thickness-mm", r.thickness_mm, "At its thickest")->required();
  c.add_option("--thickness-doubt-mm", r.thickness_doubt_mm, "It may be off by this")
      ->capture_default_str();
  c.add_option("--start-c", r.start_c, "Middle of the raw piece")->capture_default_str();
  c.add_option("--target-c", a.target_c, "Core at its peak, after the rest");
  c.add_option("--doneness", a.doneness, "Or a word of the house, as \"medium rare\" (55.5)");
  c.add_option("--fat-pct", r.fat_pct, "Chemical fat of the lean")->capture_default_str();
  c.add_option("--flips", r.flips, "Leave out to have it chosen");
  c.add_option("--sear-s", r.sear_seconds, "Seconds a side (reverse-sear, bath)")
      ->capture_default_str();
  c.add_option("--pause-s", r.pause_seconds, "In the room before the sear")->capture_default_str();
  c.add_flag("--from-frozen", r.from_frozen, "The piece is frozen and stays so until cooked");
  c.add_flag("--meet-table", r.meet_table, "Stay in the bath for the published hold");
  c.add_option("--weight-g", r.weight_g, "Raw weight, for the serving weight");
  c.add_option("--meat", a.meat, "intact, tenderised, ground or unknown")->capture_default_str();
  c.add_flag("--susceptible-guests", r.susceptible_guests, "For highly susceptible guests");
  c.add_option("--pan-c", w.pan_c, "Pan's surface")->capture_default_str();
  c.add_option("--pan-h", w.pan_h, "Pan to meat, W/(m2 K)")->capture_default_str();
  c.add_option("--grill-c", w.grill_c, "Grill")->capture_default_str();
  c.add_option("--grill-h", w.grill_h, "Grill to meat, W/(m2 K)")->capture_default_str();
  c.add_option("--oven-c", w.oven_c, "Oven's air")->capture_default_str();
  c.add_option("--oven-h", w.oven_h, "Oven to meat, W/(m2 K)")->capture_default_str();
  c.add_option("--bath-h", w.bath_h, "Bath to bag, W/(m2 K)")->capture_default_str();
  c.add_option("--room-c", w.room_c, "Where it rests")->capture_default_str();
}

}  // namespace

void AddCookCommand(CLI::App& app, int& exit_code) {
  CLI::App* cook = app.add_subcommand("cook", "Plan a cook, follow it, hold times and cautions");
  cook->require_subcommand(1);
  const auto make = [] { return std::make_shared<Arguments>(); };

  auto plan = make();
  CLI::App* c = cook->add_subcommand("plan", "Minutes, flips, pull and rest for one piece");
  AddSteak(*c, *plan);
  c->add_flag("--json", plan->json, "Print JSON");
  c->callback([&app, &exit_code, plan] { exit_code = Plan(*plan, UnitsOf(app)); });

  auto probe = make();
  c = cook->add_subcommand("probe", "What a probe's readings say about the time left");
  AddSteak(*c, *probe);
  c->add_option("--readings", probe->file, "CSV: seconds,temperature_c")->required();
  c->add_flag("--json", probe->json, "Print JSON");
  c->callback([&app, &exit_code, probe] { exit_code = Probe(*probe, UnitsOf(app)); });

  auto ticket = make();
  c = cook->add_subcommand("ticket", "Several pieces ready together: a list of times");
  c->add_option("file", ticket->file, "CSV: piece,method,thickness_mm,target_c")->required();
  c->add_option("--ready", ticket->ready, "Clock time of serving, as 19:30");
  c->add_option("--places", ticket->places, "Pieces that fit on the pan or grill at once");
  c->add_flag("--json", ticket->json, "Print JSON");
  c->callback([&exit_code, ticket] { exit_code = Ticket(*ticket); });

  auto hold = make();
  c = cook->add_subcommand("hold", "Published hold time at a temperature");
  c->add_option("--at-c", hold->at_c, "Coldest point")->required();
  c->add_flag("--seven-log", hold->seven, "The 7-log column instead of 6.5");
  c->callback([&app, &exit_code, hold] { exit_code = Hold(*hold, UnitsOf(app)); });

  auto bath = make();
  c = cook->add_subcommand("bath", "Minutes in a water bath for a tabulated kill");
  c->add_option("--thickness-mm", bath->request.thickness_mm, "At its thickest")->required();
  c->add_option("--bath-c", bath->bath_c, "55 to 66")->required();
  c->add_option("--start-c", bath->request.start_c, "Middle")->capture_default_str();
  c->callback([&exit_code, bath] { exit_code = Bath(*bath); });

  auto cooling = make();
  c = cook->add_subcommand("cooling", "Hold a cooling log against the rule");
  c->add_option("file", cooling->file, "CSV: seconds,temperature_c")->required();
  c->callback([&exit_code, cooling] { exit_code = Cooling(*cooling); });

  c = cook->add_subcommand("raw", "What guidance asks of raw service");
  c->callback([&exit_code] {
    exit_code = Print(cooking::AdvisoryText() + "\n" +
                      programme::CautionsText(cooking::RawServiceCautions()));
  });
}

}  // namespace ribwright::cli
