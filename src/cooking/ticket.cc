// SPDX-License-Identifier: Apache-2.0
#include "cooking/ticket.h"

#include <fmt/format.h>

#include <algorithm>

namespace ribwright::cooking {
namespace {

std::string PlaceOf(const std::string& what) { return what.substr(0, what.find(',')); }

}  // namespace

Result<std::vector<TicketLine>> ScheduleTicket(const std::vector<TicketPiece>& pieces,
                                               const std::map<std::string, int>& places) {
  if (pieces.empty()) {
    return Fail(Code::kCookUnusable, "The ticket has no pieces.", "ticket", "Name at least one.");
  }
  std::vector<TicketLine> lines;
  struct Use {
    double from, to;
    std::string place;
  };
  std::vector<Use> uses;
  for (const TicketPiece& piece : pieces) {
    const double start = -(piece.plan.cook_s + piece.plan.rest_s);
    for (const CookStep& step : piece.plan.steps) {
      lines.push_back({start + step.starts_s, piece.name, step.what});
      if (step.lasts_s > 0.0) {
        uses.push_back(
            {start + step.starts_s, start + step.starts_s + step.lasts_s, PlaceOf(step.what)});
      }
    }
    lines.push_back({0.0, piece.name, "plate"});
  }
  for (const auto& [place, count] : places) {
    for (const Use& use : uses) {
      if (use.place != place) continue;
      const auto busy = std::count_if(uses.begin(), uses.end(), [&](const Use& other) {
        return other.place == place && other.from <= use.from && use.from < other.to - 1e-9;
      });
      if (busy > count) {
        return Fail(Code::kCookUnusable,
                    fmt::format("{} pieces would share the {} {:.0f} min before serving; it has "
                                "room for {}.",
                                busy, place, -use.from / 60.0, count),
                    "ticket", "Cook some by another method, or serve in two rounds.");
      }
    }
  }
  std::stable_sort(lines.begin(), lines.end(),
                   [](const TicketLine& a, const TicketLine& b) { return a.at_s < b.at_s; });
  return lines;
}

}  // namespace ribwright::cooking
