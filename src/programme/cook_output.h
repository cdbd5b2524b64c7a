// SPDX-License-Identifier: Apache-2.0
// Cooks as a cook reads them: a card of plain lines, a ticket's list of times, and JSON
// (`ribwright.cook/1`, docs/format/cook.md). Times are a list; there is no clock here: a ticket's
// clock times come from the wanted moment that is passed in (minutes since midnight).
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "cooking/cook_plan.h"
#include "cooking/doneness.h"
#include "cooking/probe.h"
#include "cooking/ticket.h"
#include "units/format.h"

namespace ribwright::programme {

std::string CookCard(const cooking::CookRequest& request, const cooking::CookPlan& plan,
                     const std::vector<cooking::HouseWord>& house, units::System system);
std::string CookJson(const cooking::CookRequest& request, const cooking::CookPlan& plan,
                     const std::vector<cooking::HouseWord>& house);

std::string TicketText(const std::vector<cooking::TicketLine>& lines,
                       std::optional<int> ready_minutes);
std::string TicketJson(const std::vector<cooking::TicketLine>& lines);

std::string LiveText(const cooking::LiveEstimate& live, units::System system);
std::string LiveJson(const cooking::LiveEstimate& live);

std::string CautionsText(const std::vector<cooking::Caution>& cautions);
// "55.0 °C", or "131.0 °F".
std::string TemperatureText(double t_c, units::System system);
// "1 h 05 min", "7 min 30 s".
std::string DurationText(double seconds);

}  // namespace ribwright::programme
