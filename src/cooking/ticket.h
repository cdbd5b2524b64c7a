// SPDX-License-Identifier: Apache-2.0
// Several cooks of one ticket, ready together: each starts as late as its own plan allows, counted
// back from the moment when all are plated. Where a method has fewer places than pieces that would
// use it at once, the ticket is refused with the moment and the count. Times are seconds before
// ready, as negative numbers. Thread-safe.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "base/result.h"
#include "cooking/cook_plan.h"

namespace ribwright::cooking {

struct TicketPiece {
  std::string name;
  CookPlan plan;
};

struct TicketLine {
  double at_s;  // <= 0: before ready
  std::string piece;
  std::string what;
};

// Lines in order of time. `places`: how many pieces fit at once by the first word of a step ("pan",
// "grill", "oven", "sear", "water bath"); nothing for unlimited.
Result<std::vector<TicketLine>> ScheduleTicket(const std::vector<TicketPiece>& pieces,
                                               const std::map<std::string, int>& places = {});

}  // namespace ribwright::cooking
